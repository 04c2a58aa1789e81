import type { Bitmap } from '../bitmap.ts';

/** 32-bit words a row of the bitmap fills. */
export const wordsFor = (widthPx: number): number => (widthPx + 31) >>> 5;

/** Mask of the used bits in a row's last word. */
export const lastWordMask = (widthPx: number): number => -1 << (-widthPx & 31);

/**
 * Copies row `y` into 32-bit words, leftmost pixel in the highest bit, from index 1; the words before and after
 * are 0, so that a row may be read shifted. Rows outside the bitmap are empty.
 */
export function readRowWords(map: Bitmap, y: number, words: Int32Array): void {
  words.fill(0);
  if (y < 0 || y >= map.heightPx) return;
  const { data, strideBytes } = map;
  const at = y * strideBytes;
  const whole = strideBytes >>> 2;
  let from = at;
  for (let w = 1; w <= whole; w++, from += 4) {
    words[w] = (data[from]! << 24) | (data[from + 1]! << 16) | (data[from + 2]! << 8) | data[from + 3]!;
  }
  for (let shift = 24; from < at + strideBytes; from++, shift -= 8) {
    words[whole + 1] = words[whole + 1]! | (data[from]! << shift);
  }
}

/** Writes row `y` back from 32-bit words; bits beyond the width must be 0. */
export function writeRowWords(map: Bitmap, y: number, words: Int32Array): void {
  const { data, strideBytes } = map;
  const at = y * strideBytes;
  for (let i = 0; i < strideBytes; i++) data[at + i] = words[1 + (i >> 2)]! >>> (24 - ((i & 3) << 3));
}
