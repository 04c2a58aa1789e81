import type { PointMm, Segment } from './contract.ts';

/**
 * Cubic curves through points, each point within a tolerance of them: the method of P. J. Schneider, "An Algorithm
 * for Automatically Fitting Digitized Curves", Graphics Gems (1990): least squares for the lengths of both arms, places
 * along the curve bettered by Newton's step, split where the worst point lies.
 */

type Cubic = readonly [PointMm, PointMm, PointMm, PointMm];

const minus = (a: PointMm, b: PointMm): PointMm => ({ x: a.x - b.x, y: a.y - b.y });
const along = (a: PointMm, direction: PointMm, length: number): PointMm => ({
  x: a.x + direction.x * length,
  y: a.y + direction.y * length,
});
const dot = (a: PointMm, b: PointMm): number => a.x * b.x + a.y * b.y;
/** In mm. */
export const distance = (a: PointMm, b: PointMm): number => Math.hypot(a.x - b.x, a.y - b.y);

/** Of length 1; of two equal points there is no direction, and any will do. */
export function direction(from: PointMm, to: PointMm): PointMm {
  const length = distance(from, to);
  return length === 0 ? { x: 1, y: 0 } : { x: (to.x - from.x) / length, y: (to.y - from.y) / length };
}

/** The point of a cubic at `t`, 0 … 1 (Bernstein form). */
export function pointAt([a, b, c, d]: Cubic, t: number): PointMm {
  const s = 1 - t;
  const [ka, kb, kc, kd] = [s * s * s, 3 * s * s * t, 3 * s * t * t, t * t * t];
  return { x: ka * a.x + kb * b.x + kc * c.x + kd * d.x, y: ka * a.y + kb * b.y + kc * c.y + kd * d.y };
}

/** Shares of the length of the polygon at which its points lie. */
function byLength(points: readonly PointMm[]): Float64Array {
  const shares = new Float64Array(points.length);
  for (let i = 1; i < points.length; i++) shares[i] = shares[i - 1]! + distance(points[i - 1]!, points[i]!);
  const length = shares[points.length - 1]!;
  for (let i = 1; i < points.length; i++) shares[i] = length === 0 ? 1 : shares[i]! / length;
  return shares;
}

/** The cubic with these directions at its ends that comes nearest to the points in the mean square. */
function leastSquares(
  points: readonly PointMm[],
  shares: Float64Array,
  first: PointMm,
  last: PointMm,
): Cubic {
  const a = points[0]!;
  const d = points[points.length - 1]!;
  let [c00, c01, c11, x0, x1] = [0, 0, 0, 0, 0];
  for (let i = 0; i < points.length; i++) {
    const t = shares[i]!;
    const s = 1 - t;
    const kb = 3 * s * s * t;
    const kc = 3 * s * t * t;
    const rest = minus(points[i]!, pointAt([a, a, d, d], t));
    c00 += kb * kb;
    c01 += kb * kc * dot(first, last);
    c11 += kc * kc;
    x0 += kb * dot(first, rest);
    x1 += kc * dot(last, rest);
  }
  const determinant = c00 * c11 - c01 * c01;
  const chord = distance(a, d);
  let arm0 = determinant === 0 ? 0 : (x0 * c11 - x1 * c01) / determinant;
  let arm1 = determinant === 0 ? 0 : (x1 * c00 - x0 * c01) / determinant;
  // arms that turn back, or reach far past the ends, make loops: a third of the chord is always sane
  const sane = (arm: number): boolean => arm > 1e-6 * chord && arm < 4 * chord;
  if (!sane(arm0) || !sane(arm1)) arm0 = arm1 = chord / 3;
  return [a, along(a, first, arm0), along(d, last, arm1), d];
}

/** Newton's step towards the nearest place on the curve, for every point. */
function bettered([a, b, c, d]: Cubic, points: readonly PointMm[], shares: Float64Array): Float64Array {
  const [ab, bc, cd] = [minus(b, a), minus(c, b), minus(d, c)];
  const [abc, bcd] = [minus(bc, ab), minus(cd, bc)];
  return shares.map((t, i) => {
    const s = 1 - t;
    const off = minus(pointAt([a, b, c, d], t), points[i]!);
    const slope = {
      x: 3 * (s * s * ab.x + 2 * s * t * bc.x + t * t * cd.x),
      y: 3 * (s * s * ab.y + 2 * s * t * bc.y + t * t * cd.y),
    };
    const bend = { x: 6 * (s * abc.x + t * bcd.x), y: 6 * (s * abc.y + t * bcd.y) };
    const below = dot(slope, slope) + dot(off, bend);
    return below === 0 ? t : Math.min(1, Math.max(0, t - dot(off, slope) / below));
  });
}

/** Distance of a point from the straight line between two others. */
export function distanceToLine(point: PointMm, a: PointMm, b: PointMm): number {
  const way = minus(b, a);
  const length = dot(way, way);
  const t = length === 0 ? 0 : Math.min(1, Math.max(0, dot(minus(point, a), way) / length));
  return distance(point, along(a, way, t));
}

/**
 * How far curve and points lie apart, and at which inner point most: each point from its place on the curve, and the
 * curve half-way between two places from the line between their points, so that it does not bulge there.
 */
function worst(curve: Cubic, points: readonly PointMm[], shares: Float64Array): { mm: number; at: number } {
  let mm = 0;
  let at = points.length >> 1;
  for (let i = 1; i < points.length; i++) {
    const between = pointAt(curve, (shares[i - 1]! + shares[i]!) / 2);
    const off = Math.max(
      distance(pointAt(curve, shares[i]!), points[i]!),
      distanceToLine(between, points[i - 1]!, points[i]!),
    );
    if (off > mm) {
      mm = off;
      at = Math.min(i, points.length - 2);
    }
  }
  return { mm, at };
}

/** Further off than this many tolerances no bettering helps. */
const HOPELESS = 4;
const MOST_STEPS = 6;

/** Direction of the line at a point within a run, over some length to either side. */
export function directionAt(points: readonly PointMm[], at: number, overMm: number): PointMm {
  const here = points[at]!;
  let from = at;
  while (from > 0 && distance(points[from]!, here) < overMm) from--;
  let to = at;
  while (to < points.length - 1 && distance(points[to]!, here) < overMm) to++;
  return direction(points[from]!, points[to]!);
}

/**
 * Fits cubics to a run of points, from the first to the last, every point within `toleranceMm` of them. `first` points
 * into the run at its start, `last` into it at its end; `overMm` is the length that directions in between are taken over.
 */
export function fitCurves(
  points: readonly PointMm[],
  first: PointMm,
  last: PointMm,
  toleranceMm: number,
  overMm: number,
): Segment[] {
  const end = points[points.length - 1]!;
  if (points.length === 2) {
    const start = points[0]!;
    const third = distance(start, end) / 3;
    const [c1, c2] = [along(start, first, third), along(end, last, third)];
    const bulges = Math.max(distanceToLine(c1, start, end), distanceToLine(c2, start, end)) > toleranceMm;
    return [bulges ? { to: end } : { c1, c2, to: end }];
  }
  let shares = byLength(points);
  let curve = leastSquares(points, shares, first, last);
  let off = worst(curve, points, shares);
  for (let step = 0; step < MOST_STEPS && off.mm < HOPELESS * toleranceMm; step++) {
    const places = bettered(curve, points, shares);
    const nearer = leastSquares(points, places, first, last);
    const found = worst(nearer, points, places);
    // good enough is not yet as good as it gets, and costs nothing in the file
    if (found.mm >= off.mm && off.mm <= toleranceMm) break;
    [shares, curve, off] = [places, nearer, found];
  }
  if (off.mm <= toleranceMm) return [{ c1: curve[1], c2: curve[2], to: end }];
  const onward = directionAt(points, off.at, overMm);
  const back = { x: -onward.x, y: -onward.y };
  return [
    ...fitCurves(points.slice(0, off.at + 1), first, back, toleranceMm, overMm),
    ...fitCurves(points.slice(off.at), onward, last, toleranceMm, overMm),
  ];
}
