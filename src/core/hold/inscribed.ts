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

/** Questions asked for one area at most; past that the best so far stands, which only long even strips come near. */
const MAX_QUESTIONS = 30_000;

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

/**
 * Largest circle whose centre lies in the area. The distance to the nearest obstacle changes by no more than
 * one pixel a pixel, so a square of pixels cannot beat its centre's distance plus its own half diagonal: best
 * squares first, cut in four while they might still win.
 */
function largestIn(
  area: WideArea,
  cell: number,
  distanceAt: DistanceAt,
): { radius: number; x: number; y: number } {
  const best = { radius: 0, x: area.left * cell, y: area.top * cell };
  const heap: Part[] = [];
  let questions = 0;
  const ask = (x: number, y: number, size: number): void => {
    const right = Math.min(x + size, area.right * cell);
    const bottom = Math.min(y + size, area.bottom * cell);
    if (right <= x || bottom <= y) return;
    const columns = [Math.floor(x / cell), Math.ceil(right / cell)] as const;
    const rows = [Math.floor(y / cell), Math.ceil(bottom / cell)] as const;
    if (!area.meets(columns[0], rows[0], columns[1], rows[1])) return;
    const cx = (x + right - 1) >> 1;
    const cy = (y + bottom - 1) >> 1;
    questions++;
    const radius = distanceAt(cx, cy);
    const [cellX, cellY] = [Math.floor(cx / cell), Math.floor(cy / cell)];
    if (radius > best.radius && area.meets(cellX, cellY, cellX + 1, cellY + 1))
      Object.assign(best, { radius, x: cx, y: cy });
    if (size === 1) return;
    const bound = radius + Math.hypot(right - 1 - cx, bottom - 1 - cy);
    if (bound > best.radius + SLACK_PX) push(heap, { x, y, size, bound });
  };
  const longest = Math.max(area.right - area.left, area.bottom - area.top) * cell;
  let size = cell;
  while (size * 16 < longest) size *= 2;
  for (let y = area.top * cell; y < area.bottom * cell; y += size) {
    for (let x = area.left * cell; x < area.right * cell; x += size) ask(x, y, size);
  }
  for (let part = pop(heap); part !== undefined; part = pop(heap)) {
    if (part.bound <= best.radius + SLACK_PX || questions > MAX_QUESTIONS) break;
    const half = Math.ceil(part.size / 2);
    ask(part.x, part.y, half);
    ask(part.x + half, part.y, part.size - half);
    ask(part.x, part.y + half, part.size - half);
    ask(part.x + half, part.y + half, part.size - half);
  }
  return best;
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
  const circles: InscribedCircle[] = [];
  for (const area of areas) {
    const { radius, x, y } = largestIn(area, cell, distanceAt);
    const diameterPx = 2 * radius - 1;
    if (diameterPx <= widerThanPx) continue;
    circles.push({ diameterPx, x, y, areaPx: area.cells * cell * cell });
  }
  return circles;
}
