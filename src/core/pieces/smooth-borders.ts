import type { PointMm } from '../outlines/contract.ts';
import { direction, directionAt, distance, distanceToLine, fitCurves, pointAt } from '../outlines/fit.ts';
import { type Border, OUTSIDE } from './borders.ts';

/** A border along cells leaves the true line by up to 0.71 of a cell. */
const NOISE_CELLS = 0.75;
/** Directions are taken over so many cells, so that single steps do not count. */
const OVER_CELLS = 4;
/** A ring of fewer steps is too small to be made smooth, and stays as it is. */
const SMALLEST_RING = 24;
const CORNER_RAD = (50 * Math.PI) / 180;
/** Chords of a curve are so long, in cells: 0.03 of a cell off where its radius is ten cells. */
const CHORD_CELLS = 1.5;
/** But each curve has at least so many. */
const LEAST_CHORDS = 6;

/** The middles of all steps of a run along cells; both ends stay. */
function middles(points: readonly PointMm[]): PointMm[] {
  const inner = points.slice(1).map((b, i) => ({ x: (points[i]!.x + b.x) / 2, y: (points[i]!.y + b.y) / 2 }));
  return [points[0]!, ...inner, points[points.length - 1]!];
}

/** How much a run turns at a point, 0…π, seen over some length to both sides. */
function turnAt(points: readonly PointMm[], at: number): number {
  let from = at;
  while (from > 0 && distance(points[from]!, points[at]!) < OVER_CELLS) from--;
  let to = at;
  while (to < points.length - 1 && distance(points[to]!, points[at]!) < OVER_CELLS) to++;
  const [into, out] = [direction(points[from]!, points[at]!), direction(points[at]!, points[to]!)];
  return Math.abs(Math.atan2(into.x * out.y - into.y * out.x, into.x * out.x + into.y * out.y));
}

/** Indexes where a run is cut: its ends and its corners, the sharpest first, none near another. */
function cutsOf(points: readonly PointMm[]): number[] {
  const last = points.length - 1;
  const cuts = [0, last];
  const turns = points.map((_, at) => (at === 0 || at === last ? 0 : turnAt(points, at)));
  const sharpest = [...turns.keys()]
    .filter((at) => turns[at]! > CORNER_RAD)
    .sort((a, b) => turns[b]! - turns[a]! || a - b);
  for (const at of sharpest)
    if (cuts.every((other) => distance(points[other]!, points[at]!) >= OVER_CELLS)) cuts.push(at);
  // a ring without a corner is cut half-way, or it would have no chord
  if (cuts.length === 2 && distance(points[0]!, points[last]!) === 0 && last > 3) cuts.push(last >> 1);
  return cuts.sort((a, b) => a - b);
}

/** True where a run along cells is straight for a while, turns by a right angle, and is straight again. */
function isSquare(points: readonly PointMm[], at: number): boolean {
  const [from, corner, to] = [points[at - OVER_CELLS], points[at], points[at + OVER_CELLS]];
  if (!from || !corner || !to) return false;
  const isAlong = (one: PointMm, other: PointMm): boolean =>
    Math.abs(one.x - other.x) + Math.abs(one.y - other.y) === OVER_CELLS &&
    (one.x === other.x || one.y === other.y);
  return isAlong(from, corner) && isAlong(corner, to) && from.x !== to.x && from.y !== to.y;
}

/** Middles of steps cut square corners off by half a cell: there the corner of the cells is the true one. */
function squared(run: readonly PointMm[], points: readonly PointMm[], cuts: readonly number[]): PointMm[] {
  const out = [...run];
  for (const cut of cuts) {
    const corner = [cut - 1, cut].find((at) => isSquare(points, at));
    if (corner !== undefined) out[cut] = points[corner]!;
  }
  return out;
}

/** One run without corners: straight where it was, else curves through it. */
function smoothRun(run: readonly PointMm[]): PointMm[] {
  const [start, end] = [run[0]!, run[run.length - 1]!];
  if (run.every((point) => distanceToLine(point, start, end) <= NOISE_CELLS)) return [start];
  const first = directionAt(run, 0, OVER_CELLS);
  const last = directionAt(run, run.length - 1, OVER_CELLS);
  const out: PointMm[] = [start];
  let from = start;
  for (const { c1, c2, to } of fitCurves(run, first, { x: -last.x, y: -last.y }, NOISE_CELLS, OVER_CELLS)) {
    const chords = Math.max(LEAST_CHORDS, Math.ceil(distance(from, to) / CHORD_CELLS));
    if (c1 && c2) for (let i = 1; i < chords; i++) out.push(pointAt([from, c1, c2, to], i / chords));
    out.push(to);
    from = to;
  }
  out.pop();
  return out;
}

/**
 * A border without the steps of its cells, within 0.75 of a cell of it, in mm. Its ends stay where borders meet, and
 * both neighbours get the same line, so pieces still fit. The edge of the canvas stays as it is.
 */
export function smoothBorder(border: Border, cellMm: { readonly x: number; readonly y: number }): Border {
  const { points, left, right } = border;
  const last = points[points.length - 1]!;
  const toMm = ({ x, y }: PointMm): PointMm => ({ x: x * cellMm.x, y: y * cellMm.y });
  const isRing = distance(points[0]!, last) === 0;
  if (isRing && points.length < SMALLEST_RING) return { left, right, points: points.map(toMm) };
  const isEdge = left === OUTSIDE || right === OUTSIDE;
  if (isEdge || points.length < 3)
    return { left, right, points: (isEdge ? [points[0]!, last] : points).map(toMm) };
  const plain = middles(points);
  const cuts = cutsOf(plain);
  const run = squared(plain, points, cuts);
  const smooth = cuts.slice(1).flatMap((to, i) => smoothRun(run.slice(cuts[i]!, to + 1)));
  return { left, right, points: [...smooth, last].map(toMm) };
}
