import type { Loop, OutlinePath, PointMm, Segment } from './contract.ts';
import { direction, directionAt, distance, distanceToLine, fitCurves } from './fit.ts';

/** How a polygon becomes lines and curves. */
export interface Smoothing {
  /** Furthest that the line may lie from the polygon. */
  readonly toleranceMm: number;
  /** Edges from this length on were drawn straight, and stay so exactly. */
  readonly straightFromMm: number;
  /** Length over which directions are taken: a few steps of the polygon, so that their noise does not count. */
  readonly overMm: number;
}

/** A line that turns more than this within a short way has a corner there. */
const CORNER_RAD = (50 * Math.PI) / 180;
/** A run this share of the tolerance from its chord is a straight line that was traced. */
const STRAIGHT_SHARE = 0.5;
/** Loops without a corner are cut in four, so that each part has a direction at both ends. */
const PARTS_OF_SMOOTH = 4;

/** The point a way along a loop from one of its points, forwards or backwards; never round more than all of it. */
function wayFrom(loop: Loop, at: number, step: 1 | -1, overMm: number): PointMm {
  let left = overMm;
  let here = loop[at]!;
  for (let k = 1; k <= loop.length; k++) {
    const next = loop[(at + step * k + loop.length * 2) % loop.length]!;
    const length = distance(here, next);
    if (length >= left) {
      const t = length === 0 ? 0 : left / length;
      return { x: here.x + t * (next.x - here.x), y: here.y + t * (next.y - here.y) };
    }
    left -= length;
    here = next;
  }
  return here;
}

/** How much a loop turns at each of its points, 0…π, seen over some length to both sides. */
function turns(loop: Loop, overMm: number): Float64Array {
  return Float64Array.from(loop, (point, at) => {
    const into = direction(wayFrom(loop, at, -1, overMm), point);
    const out = direction(point, wayFrom(loop, at, 1, overMm));
    return Math.abs(Math.atan2(into.x * out.y - into.y * out.x, into.x * out.x + into.y * out.y));
  });
}

/** The corners of a loop: its sharpest points, none within the length of another. */
function cornersOf(loop: Loop, overMm: number): Set<number> {
  const turn = turns(loop, overMm);
  const sharpest = [...turn.keys()]
    .filter((at) => turn[at]! > CORNER_RAD)
    .sort((a, b) => turn[b]! - turn[a]! || a - b);
  const corners: number[] = [];
  for (const at of sharpest)
    if (corners.every((other) => distance(loop[other]!, loop[at]!) >= overMm)) corners.push(at);
  return new Set(corners);
}

interface Break {
  readonly at: number;
  /** Direction of the line there; null at a corner, where each side has its own. */
  readonly onward: PointMm | null;
}

/** Where a loop is cut: at corners, at both ends of straight edges, and at least somewhere. */
function breaksOf(loop: Loop, { straightFromMm, overMm }: Smoothing): Break[] {
  const corners = cornersOf(loop, overMm);
  const breaks: Break[] = [];
  for (let at = 0; at < loop.length; at++) {
    const before = loop[(at + loop.length - 1) % loop.length]!;
    const here = loop[at]!;
    const after = loop[(at + 1) % loop.length]!;
    const straight =
      distance(here, after) >= straightFromMm
        ? direction(here, after)
        : distance(before, here) >= straightFromMm
          ? direction(before, here)
          : null;
    if (corners.has(at)) breaks.push({ at, onward: null });
    else if (straight) breaks.push({ at, onward: straight });
  }
  if (breaks.length > 0) return breaks;
  return Array.from({ length: PARTS_OF_SMOOTH }, (_, part) => {
    const at = Math.floor((part * loop.length) / PARTS_OF_SMOOTH);
    return { at, onward: direction(wayFrom(loop, at, -1, overMm), wayFrom(loop, at, 1, overMm)) };
  });
}

/** One loop from break to break. */
function segmentsBetween(loop: Loop, from: Break, to: Break, smoothing: Smoothing): Segment[] {
  const count = ((to.at - from.at + loop.length - 1) % loop.length) + 1;
  const run = Array.from({ length: count + 1 }, (_, k) => loop[(from.at + k) % loop.length]!);
  const [start, end] = [run[0]!, run[count]!];
  const { toleranceMm, overMm, straightFromMm } = smoothing;
  if (count === 1 && distance(start, end) >= straightFromMm) return [{ to: end }];
  const isTracedLine =
    (from.onward === null || to.onward === null || count === 1) &&
    run.every((point) => distanceToLine(point, start, end) <= STRAIGHT_SHARE * toleranceMm);
  if (isTracedLine) return [{ to: end }];
  const first = from.onward ?? directionAt(run, 0, overMm);
  const last = to.onward ?? directionAt(run, count, overMm);
  return fitCurves(run, first, { x: -last.x, y: -last.y }, toleranceMm, overMm);
}

/** Makes a polygon into straight lines where it is straight and smooth curves where it is not, within a tolerance. */
export function smoothLoop(loop: Loop, isHole: boolean, smoothing: Smoothing): OutlinePath {
  const breaks = breaksOf(loop, smoothing);
  return {
    start: loop[breaks[0]!.at]!,
    segments: breaks.flatMap((from, i) =>
      segmentsBetween(loop, from, breaks[(i + 1) % breaks.length]!, smoothing),
    ),
    isHole,
  };
}
