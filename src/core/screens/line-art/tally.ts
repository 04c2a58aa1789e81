import type { RowRing } from './rows.ts';

/**
 * Where holding would make this share of the 5 × 5 cells round a cell lighter or darker, the strokes run together (a
 * hatch closer than two holds turns solid): the screen keeps the tone there, and does better. Our own choice: a lone
 * 1-px line held to 3 px changes 0.13 of its window, the crossing of two 0.24, a hatch of 2 px in 6 that clogs 0.67.
 */
const MOST_CHANGED = 0.4;
const REACH = 2;

export interface Tally {
  /** Counts what holding changed in row y, where `inside` has bits. Rows in order. */
  row(y: number, inside: Int32Array): void;
  /** Did holding change the tone round a cell too much? Asked once the rows of the two cell rows below are counted. */
  changed(cellRow: number, cell: number): boolean;
}

/** Counts, cell by cell, the pixels that became etched less those that became kept. `keepRows` cell rows stay readable. */
export function openTally(
  source: RowRing,
  held: RowRing,
  cell: { readonly x: number; readonly y: number },
  cells: number,
  keepRows: number,
): Tally {
  const mask = (1 << (32 - Math.clz32(keepRows + 2 * REACH))) - 1;
  const padded = cells + 2 * REACH;
  const sums = new Int32Array(padded * (mask + 1));
  const limit = MOST_CHANGED * (2 * REACH + 1) ** 2 * cell.x * cell.y;
  const before = source.words;
  const after = held.words;

  const row = (y: number, inside: Int32Array): void => {
    const cellRow = Math.floor(y / cell.y);
    const to = (cellRow & mask) * padded;
    if (y === cellRow * cell.y) sums.fill(0, to, to + padded);
    const from = source.at(y) + source.guard;
    const at = held.at(y) + held.guard;
    for (let k = 0; k < inside.length; k++) {
      let changes = (before[from + k]! ^ after[at + k]!) & inside[k]!;
      while (changes !== 0) {
        const bit = Math.clz32(changes);
        changes ^= 0x80000000 >>> bit;
        const i = to + REACH + Math.floor((k * 32 + bit) / cell.x);
        sums[i] = sums[i]! + ((after[at + k]! << bit) & 0x80000000 ? 1 : -1);
      }
    }
  };

  const changed = (cellRow: number, column: number): boolean => {
    let sum = 0;
    for (let j = cellRow - REACH; j <= cellRow + REACH; j++) {
      const i = (j & mask) * padded + column;
      sum += sums[i]! + sums[i + 1]! + sums[i + 2]! + sums[i + 3]! + sums[i + 4]!;
    }
    return Math.abs(sum) > limit;
  };
  return { row, changed };
}
