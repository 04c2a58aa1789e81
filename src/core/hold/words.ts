import type { Bitmap } from '../bitmap.ts';

/** The etched pixels of a plate (bits that are 1) or the kept ones (bits that are 0). */
export type PlateSide = 'etched' | 'kept';

/** Rows worked on at a time: small enough to stay in the processor's cache, a multiple of a tile's 32 rows. */
export const BLOCK_ROWS = 128;

/**
 * Some rows of one side of a plate as 32-bit words, leftmost pixel in bit 31. Every row has `guard` words
 * before and behind it and the block has `halo` rows above and below, so that shifts need no cases at borders.
 */
export interface WordBlock {
  readonly words: Int32Array;
  /** Words from one row to the next, guards included. */
  readonly stride: number;
  readonly guard: number;
  readonly halo: number;
}

/** Room for a block of `rows` rows and `halo` more above and below; the guard holds at least `reachPx` pixels. */
export function createBlock(map: Bitmap, rows: number, halo: number, reachPx: number): WordBlock {
  const guard = (reachPx + 31) >> 5;
  const stride = ((map.widthPx + 31) >> 5) + 2 * guard;
  return { words: new Int32Array(stride * (rows + 2 * halo)), stride, guard, halo };
}

/** One row of a side as words from `words[at]` on, turned over by a `flip` of −1 (0: as it is); the bits beyond the width get those of `outside` (0 or −1). */
export function loadRow(
  map: Bitmap,
  y: number,
  flip: number,
  outside: number,
  words: Int32Array,
  at: number,
): void {
  const { data, widthPx, strideBytes } = map;
  const whole = widthPx >> 5;
  let from = y * strideBytes;
  for (let k = at; k < at + whole; k++, from += 4) {
    const word = (data[from]! << 24) | (data[from + 1]! << 16) | (data[from + 2]! << 8) | data[from + 3]!;
    words[k] = word ^ flip;
  }
  const left = widthPx & 31;
  if (left === 0) return;
  let word = 0;
  for (let i = 0, shift = 24; i < (left + 7) >> 3; i++, shift -= 8) word |= data[from + i]! << shift;
  const used = -1 << (32 - left);
  words[at + whole] = ((word ^ flip) & used) | (outside & ~used);
}

/** Fills a block with the rows from `firstRow` on, its halo with those above and below; what lies off the plate is `outside`. */
export function loadBlock(
  block: WordBlock,
  map: Bitmap,
  side: PlateSide,
  firstRow: number,
  outside: 0 | -1,
): void {
  const { words, stride, guard, halo } = block;
  const flip = side === 'etched' ? 0 : -1;
  const rows = words.length / stride;
  for (let i = 0, at = 0; i < rows; i++, at += stride) {
    const y = firstRow - halo + i;
    if (y < 0 || y >= map.heightPx) {
      words.fill(outside, at, at + stride);
      continue;
    }
    words.fill(outside, at, at + guard);
    words.fill(outside, at + stride - guard, at + stride);
    loadRow(map, y, flip, outside, words, at + guard);
  }
}

/*
 * Each of the four below joins pixel x of the row at `to` with pixel x + shift (or x − shift) of the row at
 * `from`, which may be the same row; what lies beyond the row is 0. `>>> 1 >>> (31 − r)` is `>>> (32 − r)`
 * that also works for r = 0. Plain loops over neighbours: one word is read once.
 */

/** Keeps what is set in pixel x and x + shift; 0 ≤ shift < 32 · stride. */
export function andFromRight(
  words: Int32Array,
  to: number,
  from: number,
  stride: number,
  shift: number,
): void {
  const q = shift >> 5;
  const r = shift & 31;
  const last = stride - 1 - q;
  let here = words[from + q]!;
  for (let k = 0; k < last; k++) {
    const next = words[from + q + k + 1]!;
    words[to + k] = words[to + k]! & ((here << r) | ((next >>> 1) >>> (31 - r)));
    here = next;
  }
  words[to + last] = words[to + last]! & (here << r);
  if (q > 0) words.fill(0, to + last + 1, to + stride);
}

/** Keeps what is set in pixel x and x − shift; 0 ≤ shift < 32 · stride. */
export function andFromLeft(
  words: Int32Array,
  to: number,
  from: number,
  stride: number,
  shift: number,
): void {
  const q = shift >> 5;
  const r = shift & 31;
  let here = words[from + stride - 1 - q]!;
  for (let k = stride - 1; k > q; k--) {
    const next = words[from + k - q - 1]!;
    words[to + k] = words[to + k]! & ((here >>> r) | ((next << 1) << (31 - r)));
    here = next;
  }
  words[to + q] = words[to + q]! & (here >>> r);
  if (q > 0) words.fill(0, to, to + q);
}

/** Adds pixel x + shift to pixel x; 0 ≤ shift < 32 · stride. */
export function orFromRight(
  words: Int32Array,
  to: number,
  from: number,
  stride: number,
  shift: number,
): void {
  const q = shift >> 5;
  const r = shift & 31;
  const last = stride - 1 - q;
  let here = words[from + q]!;
  for (let k = 0; k < last; k++) {
    const next = words[from + q + k + 1]!;
    words[to + k] = words[to + k]! | (here << r) | ((next >>> 1) >>> (31 - r));
    here = next;
  }
  words[to + last] = words[to + last]! | (here << r);
}

/** Adds pixel x − shift to pixel x; 0 ≤ shift < 32 · stride. */
export function orFromLeft(words: Int32Array, to: number, from: number, stride: number, shift: number): void {
  const q = shift >> 5;
  const r = shift & 31;
  let here = words[from + stride - 1 - q]!;
  for (let k = stride - 1; k > q; k--) {
    const next = words[from + k - q - 1]!;
    words[to + k] = words[to + k]! | (here >>> r) | ((next << 1) << (31 - r));
    here = next;
  }
  words[to + q] = words[to + q]! | (here >>> r);
}
