import type { Bitmap } from '../bitmap.ts';
import { fullCells, type WideArea, wideAreas } from './areas.ts';
import { createDistance, type DistanceAt } from './nearest.ts';
import type { PlateSide } from './words.ts';

/** The largest circle within one connected wide area. */
export interface InscribedCircle {
  /** Pixels across: a straight strip of n pixels gives n (n − 1 if n is even, as centres are pixels). */
  readonly diameterPx: number;
  readonly x: number;
  readonly y: number;
  /** Of the wide part of the area, to a cell (an eighth of the width asked for). */
  readonly areaPx: number;
}

/**
 * Questions asked without finding a larger circle, after which the best so far stands: an even strip, as long as
 * it may be, is as wide at all its pixels.
 */
const PATIENCE = 1500;

/** Areas measured to the pixel where there are more: those that may be the widest. The others are only known to be too wide. */
const MEASURED_AREAS = 200;

/** Radius within which the search may stop short of the largest circle. */
const SLACK_PX = 0.5;

/** Part of an area still to be searched, and the radius no pixel in it can beat. */
interface Part {
  readonly x: number;
  readonly y: number;
  readonly size: number;
  readonly bound: number;
}

function push(heap: Part[], part: Part): void {
  let i = heap.length;
  heap.push(part);
  while (i > 0) {
    const up = (i - 1) >> 1;
    if (heap[up]!.bound >= part.bound) break;
    heap[i] = heap[up]!;
    i = up;
  }
  heap[i] = part;
}

function pop(heap: Part[]): Part | undefined {
  const top = heap[0];
  const last = heap.pop();
  if (heap.length === 0 || last === undefined) return top;
  let i = 0;
  for (;;) {
    let child = 2 * i + 1;
    if (child >= heap.length) break;
    if (child + 1 < heap.length && heap[child + 1]!.bound > heap[child]!.bound) child++;
    if (heap[child]!.bound <= last.bound) break;
    heap[i] = heap[child]!;
    i = child;
  }
  heap[i] = last;
  return top;
}

interface Search {
  readonly radius: number;
  readonly x: number;
  readonly y: number;
  /** No circle of the area has a larger radius than this. */
  readonly bound: number;
}

/**
 * Largest circle whose centre lies in the area, or any larger than `enough`. The distance to the nearest
 * obstacle changes by no more than one pixel a pixel, so a square of pixels cannot beat its centre's distance plus
 * its own half diagonal: best squares first, cut in four while they might still win.
 */
function largestIn(area: WideArea, cell: number, distanceAt: DistanceAt, enough: number): Search {
  const best = { radius: 0, x: area.left * cell, y: area.top * cell };
  const heap: Part[] = [];
  let since = 0;
  const look = (x: number, y: number): number => {
    since++;
    const radius = distanceAt(x, y);
    const [column, row] = [Math.floor(x / cell), Math.floor(y / cell)];
    if (radius > best.radius && area.meets(column, row, column + 1, row + 1)) {
      Object.assign(best, { radius, x, y });
      since = 0;
    }
    return radius;
  };
  const ask = (x: number, y: number, size: number): void => {
    const right = Math.min(x + size, area.right * cell);
    const bottom = Math.min(y + size, area.bottom * cell);
    if (right <= x || bottom <= y) return;
    const [left, top] = [Math.floor(x / cell), Math.floor(y / cell)];
    if (!area.meets(left, top, Math.ceil(right / cell), Math.ceil(bottom / cell))) return;
    const cx = (x + right - 1) >> 1;
    const cy = (y + bottom - 1) >> 1;
    const radius = look(cx, cy);
    if (size === 1) return;
    const bound = radius + Math.hypot(right - 1 - cx, bottom - 1 - cy);
    if (bound > best.radius + SLACK_PX) push(heap, { x, y, size, bound });
  };
  const longest = Math.max(area.right - area.left, area.bottom - area.top) * cell;
  let size = cell;
  while (size * 4 < longest) size *= 2;
  for (let y = area.top * cell; y < area.bottom * cell; y += size) {
    for (let x = area.left * cell; x < area.right * cell; x += size) ask(x, y, size);
  }
  while (best.radius <= enough && since <= PATIENCE) {
    const part = pop(heap);
    if (part === undefined || part.bound <= best.radius + SLACK_PX) return { ...best, bound: best.radius };
    const half = part.size / 2;
    ask(part.x, part.y, half);
    ask(part.x + half, part.y, half);
    ask(part.x, part.y + half, half);
    ask(part.x + half, part.y + half, half);
  }
  if (since > PATIENCE) climb(best, look, area, cell);
  return { ...best, bound: Math.max(best.radius, heap[0]?.bound ?? 0) };
}

/** From the best so far to larger circles beside it, in ever smaller steps. */
function climb(
  best: { x: number; y: number },
  look: (x: number, y: number) => void,
  area: WideArea,
  cell: number,
): void {
  for (let step = 16; step >= 1; ) {
    const { x, y } = best;
    for (const dy of [-step, 0, step]) {
      for (const dx of [-step, 0, step]) {
        const inX = x + dx >= area.left * cell && x + dx < area.right * cell;
        if (inX && y + dy >= area.top * cell && y + dy < area.bottom * cell) look(x + dx, y + dy);
      }
    }
    if (best.x === x && best.y === y) step >>= 1;
  }
}

/**
 * Every connected area of a side that is wider than `widerThanPx`, with its largest inscribed circle; the
 * plate's edge bounds areas too. A circle of diameter D holds a square of D/√2, and that one a square of whole
 * cells, so areas are looked for on cells of an eighth of D and measured on pixels.
 */
export function findWide(map: Bitmap, side: PlateSide, widerThanPx: number): InscribedCircle[] {
  let cell = 1;
  while (cell < 32 && cell * 16 <= widerThanPx) cell *= 2;
  const square = Math.max(1, Math.floor((widerThanPx + 1) / (Math.SQRT2 * cell)) - 1);
  const areas =
    cell === 1 ? wideAreas(map, side, square) : wideAreas(fullCells(map, side, cell), 'etched', square);
  if (areas.length === 0) return [];
  const distanceAt = createDistance(map, side);
  const enough = (widerThanPx + 1) / 2;
  const found = areas
    .map((area) => ({ area, ...largestIn(area, cell, distanceAt, enough) }))
    .filter(({ radius }) => radius > enough)
    .sort((a, b) => b.bound - a.bound || a.y - b.y || a.x - b.x);
  return found.map((known, i) => {
    const { radius, x, y } = i < MEASURED_AREAS ? largestIn(known.area, cell, distanceAt, Infinity) : known;
    return { diameterPx: 2 * radius - 1, x, y, areaPx: known.area.cells * cell * cell };
  });
}
