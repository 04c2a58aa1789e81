import type { Loop, PointMm } from './contract.ts';
import { direction, distance, distanceToLine } from './fit.ts';

/** Traced points lie so near to the edge they were traced from, even where that was drawn without greys. */
const NOISE_STEPS = 0.75;
/** An edge must be so long before its points tell that it is straight. */
const LEAST_STEPS = 20;
/** An edge whose middle bulges by less is straight: an arc, cut where it leaves the noise, bulges twice as much. */
const BULGE_STEPS = 0.03;
/** Or by less than this share of its own noise (root of the mean square), of which an arc has 1.5. */
const BULGE_OF_NOISE = 0.3;
/** Its ends are rounded by the cells that a corner lies in. */
const END_SHARE = 0.1;
/** A corner is where two edges meet, if what was traced there is no further from it than this: sharp ones are cut off most. */
const CORNER_STEPS = 4;
/** Or no further from one of the edges than this. */
const BESIDE_STEPS = 1;
const LEAST_TURN_RAD = Math.PI / 9;

/** Points that a polygon cannot do without, by index, in order: U. Ramer 1972, D. H. Douglas and T. K. Peucker 1973. */
function keyPoints(points: readonly PointMm[], toleranceMm: number): number[] {
  const keys: number[] = [0];
  const open: [from: number, to: number][] = [[0, points.length - 1]];
  // from left to right, so that the keys come in order
  while (open.length > 0) {
    const [from, to] = open.pop()!;
    let worst = toleranceMm;
    let at = -1;
    for (let i = from + 1; i < to; i++) {
      const off = distanceToLine(points[i]!, points[from]!, points[to]!);
      if (off > worst) {
        worst = off;
        at = i;
      }
    }
    if (at < 0) keys.push(to);
    else open.push([at, to], [from, at]);
  }
  return keys;
}

interface Line {
  readonly middle: PointMm;
  readonly along: PointMm;
  /** The key points that it runs between. */
  readonly keyFrom: number;
  readonly keyTo: number;
  /** First and last of its points that are sure to lie on it. */
  readonly from: number;
  readonly to: number;
}

/** The line through points from `from` to `to` by least squares across it; null where they bulge. */
function lineThrough(
  points: readonly PointMm[],
  keyFrom: number,
  keyTo: number,
  stepMm: number,
): Line | null {
  const count = keyTo - keyFrom;
  if (count < LEAST_STEPS || distance(points[keyFrom]!, points[keyTo]!) < LEAST_STEPS * stepMm) return null;
  const from = keyFrom + Math.ceil(END_SHARE * count);
  const to = keyTo - Math.ceil(END_SHARE * count);
  const n = to - from + 1;
  let [x, y] = [0, 0];
  for (let i = from; i <= to; i++) {
    x += points[i]!.x / n;
    y += points[i]!.y / n;
  }
  let [xx, xy, yy] = [0, 0, 0];
  for (let i = from; i <= to; i++) {
    const [dx, dy] = [points[i]!.x - x, points[i]!.y - y];
    xx += dx * dx;
    xy += dx * dy;
    yy += dy * dy;
  }
  const angle = Math.atan2(2 * xy, xx - yy) / 2;
  const axis = { x: Math.cos(angle), y: Math.sin(angle) };
  const chord = direction(points[from]!, points[to]!);
  const sign = chord.x * axis.x + chord.y * axis.y < 0 ? -1 : 1;
  const along = { x: sign * axis.x, y: sign * axis.y };
  const third = Math.floor(n / 3);
  const meanOff = (first: number, last: number): number => {
    let sum = 0;
    for (let i = first; i <= last; i++) sum += (points[i]!.x - x) * along.y - (points[i]!.y - y) * along.x;
    return sum / (last - first + 1);
  };
  const outer = (meanOff(from, from + third - 1) + meanOff(to - third + 1, to)) / 2;
  const bulge = Math.abs(meanOff(from + third, to - third) - outer);
  // the smaller of both spreads is the one across the line
  const across = (xx + yy - Math.hypot(xx - yy, 2 * xy)) / 2;
  const noise = Math.sqrt(Math.max(0, across) / n);
  return bulge > Math.max(BULGE_STEPS * stepMm, BULGE_OF_NOISE * noise)
    ? null
    : { middle: { x, y }, along, keyFrom, keyTo, from, to };
}

const onLine = ({ middle, along }: Line, point: PointMm): PointMm => {
  const t = (point.x - middle.x) * along.x + (point.y - middle.y) * along.y;
  return { x: middle.x + t * along.x, y: middle.y + t * along.y };
};

/** Where two edges meet, if they turn enough there and what was traced between them lies near it; null else. */
function cornerOf(a: Line, b: Line, between: readonly PointMm[], stepMm: number): PointMm | null {
  const turn = a.along.x * b.along.y - a.along.y * b.along.x;
  const angle = Math.atan2(turn, a.along.x * b.along.x + a.along.y * b.along.y);
  if (Math.abs(angle) < LEAST_TURN_RAD || Math.abs(turn) < 1e-9) return null;
  const t = ((b.middle.x - a.middle.x) * b.along.y - (b.middle.y - a.middle.y) * b.along.x) / turn;
  const corner = { x: a.middle.x + t * a.along.x, y: a.middle.y + t * a.along.y };
  const isNear = (point: PointMm): boolean =>
    distance(corner, point) <= CORNER_STEPS * stepMm ||
    Math.min(distance(point, onLine(a, point)), distance(point, onLine(b, point))) <= BESIDE_STEPS * stepMm;
  return between.every(isNear) ? corner : null;
}

/** The point furthest from the first, which no polygon can do without. */
function furthest(loop: Loop): number {
  let at = 0;
  for (let i = 1; i < loop.length; i++)
    if (distance(loop[i]!, loop[0]!) > distance(loop[at]!, loop[0]!)) at = i;
  return at;
}

/** The straight edges of a loop whose first point is its last again. */
function edgesOf(points: readonly PointMm[], stepMm: number): Line[] {
  const keys = keyPoints(points, NOISE_STEPS * stepMm);
  return keys.slice(1).flatMap((key, i) => lineThrough(points, keys[i]!, key, stepMm) ?? []);
}

/**
 * Makes the straight edges of a traced loop straight again, and their corners sharp: a trace is noisy by a fraction of
 * its step, and cuts corners off by about one. What is round stays as it was traced.
 */
export function straightened(loop: Loop, stepMm: number): Loop {
  const first = furthest(loop);
  const points = [...loop.slice(first), ...loop.slice(0, first + 1)];
  const edges = edgesOf(points, stepMm);
  if (edges.length === 0) return loop;
  const out: PointMm[] = [];
  for (const [i, edge] of edges.entries()) {
    const next = edges[(i + 1) % edges.length]!;
    const between =
      next.keyFrom >= edge.keyTo
        ? points.slice(edge.keyTo, next.keyFrom + 1)
        : [...points.slice(edge.keyTo, -1), ...points.slice(0, next.keyFrom + 1)];
    const corner = edge === next ? null : cornerOf(edge, next, between, stepMm);
    if (corner) out.push(corner);
    else
      out.push(
        onLine(edge, points[edge.to]!),
        ...points.slice(edge.to + 1, edge.keyTo),
        ...between,
        ...points.slice(next.keyFrom + 1, next.from),
        onLine(next, points[next.from]!),
      );
  }
  return out;
}
