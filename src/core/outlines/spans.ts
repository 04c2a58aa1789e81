import { type Bitmap, countBits, createBitmap, fillRow } from '../bitmap.ts';
import type { Loop } from './contract.ts';

/** Pixels of a raster inside polygons, as runs: row, first pixel, pixel behind the last, and so on, top row first. */
export type Spans = Int32Array;

/** Where the lines of loops cross the middles of rows, row by row, in pixels. */
function crossings(loops: readonly Loop[], pxPerMm: number, heightPx: number): Float64Array[] {
  const rows: number[][] = Array.from({ length: heightPx }, () => []);
  for (const loop of loops)
    for (let i = 0; i < loop.length; i++) {
      const a = loop[i]!;
      const b = loop[(i + 1) % loop.length]!;
      const [top, bottom] = a.y < b.y ? [a, b] : [b, a];
      const from = Math.max(0, Math.ceil(top.y * pxPerMm - 0.5));
      const to = Math.min(heightPx - 1, Math.ceil(bottom.y * pxPerMm - 0.5) - 1);
      for (let row = from; row <= to; row++) {
        const t = ((row + 0.5) / pxPerMm - top.y) / (bottom.y - top.y);
        rows[row]!.push((top.x + t * (bottom.x - top.x)) * pxPerMm);
      }
    }
  return rows.map((row) => Float64Array.from(row).sort());
}

/** The pixels whose middles lie inside an odd number of loops (in mm from the raster's corner). */
export function spansOf(loops: readonly Loop[], pxPerMm: number, widthPx: number, heightPx: number): Spans {
  const spans: number[] = [];
  for (const [row, crossed] of crossings(loops, pxPerMm, heightPx).entries())
    for (let i = 0; i + 1 < crossed.length; i += 2) {
      const from = Math.max(0, Math.ceil(crossed[i]! - 0.5));
      const to = Math.min(widthPx, Math.ceil(crossed[i + 1]! - 0.5));
      if (to > from) spans.push(row, from, to);
    }
  return Int32Array.from(spans);
}

/** How many pixels spans hold. */
export function pixelsIn(spans: Spans): number {
  let count = 0;
  for (let i = 0; i < spans.length; i += 3) count += spans[i + 2]! - spans[i + 1]!;
  return count;
}

/** Where the runs of a row begin in spans that go by rows; binary search. */
export function firstOfRow(spans: Spans, row: number): number {
  let low = 0;
  let high = spans.length / 3;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (spans[3 * middle]! < row) low = middle + 1;
    else high = middle;
  }
  return 3 * low;
}

/** Pixels of a bitmap that are `bit` within spans; `mirrored` where the bitmap is a mirrored plate. */
export function countInSpans(bitmap: Bitmap, spans: Spans, bit: 0 | 1, mirrored: boolean): number {
  const { widthPx, strideBytes, data } = bitmap;
  const mask = createBitmap(widthPx, 1).data;
  let count = 0;
  for (let i = 0; i < spans.length; ) {
    const row = spans[i]!;
    mask.fill(0);
    for (; i < spans.length && spans[i] === row; i += 3) {
      const [from, to] = [spans[i + 1]!, spans[i + 2]!];
      if (mirrored) fillRow(mask, 0, widthPx - to, widthPx - from, 1);
      else fillRow(mask, 0, from, to, 1);
    }
    const at = row * strideBytes;
    const flip = bit === 1 ? 0 : 0xff;
    for (let k = 0; k < strideBytes; k++) mask[k] = mask[k]! & (data[at + k]! ^ flip);
    count += countBits(mask);
  }
  return count;
}
