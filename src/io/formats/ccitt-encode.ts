/** ITU-T T.6 (Group 4) coding of packed rows; bit 0 is the "white" of the recommendation. */

import { strideFor } from '../../core/bitmap.ts';
import {
  END_OF_LINE_WORD,
  HORIZONTAL_WORD,
  LONGEST_RUN,
  PASS_WORD,
  RUN_WORDS,
  VERTICAL_WORDS,
} from './ccitt-codes.ts';

/** A code word as a number: value · 16 + length; the longest has 13 bits. */
const coded = (word: string): number => Number.parseInt(word, 2) * 16 + word.length;

/** White at 0, black at 104. */
const RUNS = Int32Array.from([...RUN_WORDS.white, ...RUN_WORDS.black], coded);
const BLACK_AT = RUN_WORDS.white.length;
const VERTICAL = Int32Array.from(VERTICAL_WORDS, coded);
const HORIZONTAL = coded(HORIZONTAL_WORD);
const PASS = coded(PASS_WORD);
const END_OF_LINE = coded(END_OF_LINE_WORD);

/** Bytes a row can need at the most, for each byte of its pixels: no pixel costs more than 7 bits. */
const WORST_GROWTH = 8;

/**
 * Writes where the colour of a row changes to `changes`, first change to black first, and four times
 * the width behind the last: 32 pixels at a time, so that flat areas cost next to nothing.
 */
export function findChanges(rows: Uint8Array, at: number, widthPx: number, changes: Int32Array): void {
  const stride = strideFor(widthPx);
  const end = at + stride;
  let found = 0;
  let before = 0;
  for (let i = at, x = 0; i < end; i += 4, x += 32) {
    let word: number;
    if (i + 4 <= end) word = (rows[i]! << 24) | (rows[i + 1]! << 16) | (rows[i + 2]! << 8) | rows[i + 3]!;
    else {
      word = rows[i]! << 24;
      if (i + 1 < end) word |= rows[i + 1]! << 16;
      if (i + 2 < end) word |= rows[i + 2]! << 8;
    }
    let edges = word ^ ((word >>> 1) | (before << 31));
    before = word & 1;
    while (edges !== 0) {
      const bit = Math.clz32(edges);
      changes[found++] = x + bit;
      edges ^= 0x80000000 >>> bit;
    }
  }
  // padding is white: a black last pixel may leave one change more, but that lies at the width, too
  changes.fill(widthPx, found, found + 4);
}

/** Packed rows as one T.6 block, closed by the end of facsimile block; padding bits must be 0. */
export function encodeGroup4(rows: Uint8Array, widthPx: number): Uint8Array {
  const stride = strideFor(widthPx);
  let out = new Uint8Array(Math.max(64, rows.length >> 1));
  let length = 0;
  let held = 0;
  let heldBits = 0;
  const put = (code: number): void => {
    held = (held << (code & 15)) | (code >>> 4);
    heldBits += code & 15;
    while (heldBits >= 8) {
      heldBits -= 8;
      out[length++] = held >>> heldBits;
    }
  };
  /** `colour` is 0 for white, 1 for black. */
  const putRun = (run: number, colour: number): void => {
    const table = colour * BLACK_AT;
    let left = run;
    for (; left >= LONGEST_RUN + 64; left -= LONGEST_RUN) put(RUNS[table + 63 + (LONGEST_RUN >> 6)]!);
    if (left >= 64) put(RUNS[table + 63 + (left >> 6)]!);
    put(RUNS[table + (left & 63)]!);
  };
  let above = new Int32Array(widthPx + 5).fill(widthPx);
  let here = new Int32Array(widthPx + 5);
  for (let at = 0; at < rows.length; at += stride) {
    if (out.length - length < stride * WORST_GROWTH + 16) {
      const longer = new Uint8Array(out.length * 2 + stride * WORST_GROWTH + 16);
      longer.set(out);
      out = longer;
    }
    findChanges(rows, at, widthPx, here);
    let a0 = -1; // an imaginary white pixel in front of the row
    let colour = 0;
    let a = 0; // of a1 among the changes here
    let b = 0; // of b1 among those above: the first right of a0 that turns to the other colour
    while (a0 < widthPx) {
      while (above[b]! <= a0) b += 2;
      const a1 = here[a]!;
      const b1 = above[b]!;
      const b2 = above[b + 1]!;
      if (b2 < a1) {
        put(PASS);
        a0 = b2;
      } else if (a1 - b1 <= 3 && b1 - a1 <= 3) {
        put(VERTICAL[a1 - b1 + 3]!);
        a0 = a1;
        a++;
        colour ^= 1;
        b = b > 0 ? b - 1 : 1;
      } else {
        const a2 = here[a + 1]!;
        put(HORIZONTAL);
        putRun(a0 < 0 ? a1 : a1 - a0, colour);
        putRun(a2 - a1, colour ^ 1);
        a0 = a2;
        a += 2;
      }
    }
    [above, here] = [here, above];
  }
  put(END_OF_LINE);
  put(END_OF_LINE);
  if (heldBits > 0) out[length++] = held << (8 - heldBits);
  return out.slice(0, length);
}
