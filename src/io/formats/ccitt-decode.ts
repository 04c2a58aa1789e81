/** Reads ITU-T T.6 (Group 4) blocks back into packed rows; strict, since what it reads is our own writing. */

import { fillRow, strideFor } from '../../core/bitmap.ts';
import { HORIZONTAL_WORD, PASS_WORD, RUN_WORDS, VERTICAL_WORDS } from './ccitt-codes.ts';

const RUN_BITS = 13;
const MODE_BITS = 7;
const END_BITS = 12;

const HORIZONTAL = 7;
const PASS = 8;

/** For whatever bits may come next: value · 16 + length of the code word they begin with, or −1. */
function lookUpTable(bits: number, entries: readonly (readonly [word: string, value: number])[]): Int32Array {
  const table = new Int32Array(1 << bits).fill(-1);
  for (const [word, value] of entries) {
    const free = bits - word.length;
    const first = Number.parseInt(word, 2) << free;
    table.fill(value * 16 + word.length, first, first + (1 << free));
  }
  return table;
}

const runTable = (words: readonly string[]): Int32Array =>
  lookUpTable(
    RUN_BITS,
    words.map((word, i) => [word, i < 64 ? i : (i - 63) * 64]),
  );

const RUNS = [runTable(RUN_WORDS.white), runTable(RUN_WORDS.black)] as const;
const MODES = lookUpTable(MODE_BITS, [
  ...VERTICAL_WORDS.map((word, i) => [word, i] as const),
  [HORIZONTAL_WORD, HORIZONTAL],
  [PASS_WORD, PASS],
]);

/** Packed rows of one T.6 block that must hold `rowCount` rows and its end, and nothing more. */
export function decodeGroup4(bytes: Uint8Array, widthPx: number, rowCount: number): Uint8Array {
  const stride = strideFor(widthPx);
  const rows = new Uint8Array(rowCount * stride);
  let bit = 0;
  // bytes behind the end count as 0, which no code word but the end's begins with
  const peek = (bits: number): number => {
    const i = bit >>> 3;
    const held = (bytes[i]! << 16) | (bytes[i + 1]! << 8) | bytes[i + 2]!;
    return (held >>> (24 - (bit & 7) - bits)) & ((1 << bits) - 1);
  };
  const take = (table: Int32Array, bits: number, row: number): number => {
    const entry = table[peek(bits)]!;
    if (entry < 0) throw new Error(`no code word at bit ${bit}, in row ${row} of a band`);
    bit += entry & 15;
    return entry >>> 4;
  };
  const takeRun = (colour: number, row: number): number => {
    let run = 0;
    for (;;) {
      const part = take(RUNS[colour as 0 | 1], RUN_BITS, row);
      run += part;
      if (part < 64) return run;
    }
  };
  let above = new Int32Array(widthPx + 5).fill(widthPx);
  let here = new Int32Array(widthPx + 5);
  for (let row = 0; row < rowCount; row++) {
    let a0 = -1;
    let colour = 0;
    let found = 0;
    let b = 0;
    const changeTo = (x: number): void => {
      if (x <= a0 || x > widthPx) throw new Error(`a run of row ${row} of a band leaves the row`);
      a0 = x;
      here[found++] = x;
    };
    while (a0 < widthPx) {
      while (above[b]! <= a0) b += 2;
      const mode = take(MODES, MODE_BITS, row);
      if (mode === PASS) a0 = above[b + 1]!;
      else if (mode === HORIZONTAL) {
        changeTo(Math.max(a0, 0) + takeRun(colour, row));
        const second = takeRun(colour ^ 1, row);
        if (a0 < widthPx || second > 0) changeTo(a0 + second);
      } else {
        changeTo(above[b]! + mode - 3);
        colour ^= 1;
        b = b > 0 ? b - 1 : 1;
      }
    }
    if (found > 0 && here[found - 1] === widthPx) found--;
    here.fill(widthPx, found, found + 4);
    for (let i = 0; i < found; i += 2) fillRow(rows, row * stride, here[i]!, here[i + 1]!, 1);
    [above, here] = [here, above];
  }
  closeBlock();
  return rows;

  function closeBlock(): void {
    for (let i = 0; i < 2; i++, bit += END_BITS)
      if (peek(END_BITS) !== 1) throw new Error('a band does not end where its rows do');
    const left = bytes.length * 8 - bit;
    if (left < 0 || left > 7 || (left > 0 && peek(left) !== 0))
      throw new Error('a band goes on behind its end');
  }
}
