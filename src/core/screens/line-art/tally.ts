import { countWord } from '../../bitmap.ts';
import type { RowRing } from './rows.ts';

/*
 * Where holding would make so much of the 5 × 5 cells round a cell lighter or darker, or take so much of the strokes or
 * of the gaps there, they run together (a hatch closer than two holds turns solid): the screen keeps the tone there, and
 * does better. Our own choice: a lone 1-px line held to 3 px changes 0.13 of its window, the crossing of two 0.24, a
 * hatch of 2 px in 6 that clogs 0.67 and loses all of its gaps.
 */
const MOST_CHANGED = 0.4;
const MOST_LOST = 0.5;
const REACH = 2;

export interface Tally {
  /** Counts what holding changed in row y, where `inside` has bits (null: nowhere). Rows in order. */
  row(y: number, inside: Int32Array | null): void;
  /** Gets ready for questions about the cells [from, to) of a cell row, once the rows of the two cell rows below are counted. */
  ask(cellRow: number, from: number, to: number): void;
  /** Did holding change the tone round a cell of that row too much? */
  changed(cell: number): boolean;
}

/** Counts, cell by cell, the pixels that became etched less those that became kept. `keepRows` cell rows stay readable. */
export function openTally(
  source: RowRing,
  held: RowRing,
  cell: { readonly x: number; readonly y: number },
  widthPx: number,
  keepRows: number,
): Tally {
  const cells = Math.ceil(widthPx / cell.x);
  const mask = (1 << (32 - Math.clz32(keepRows + 2 * REACH))) - 1;
  const padded = cells + 2 * REACH;
  const sums = new Int32Array(padded * (mask + 1));
  const limit = MOST_CHANGED * (2 * REACH + 1) ** 2 * cell.x * cell.y;
  /** Fewer changes than this cannot have taken half of a stroke one pixel wide. */
  const few = ((2 * REACH + 1) * Math.min(cell.x, cell.y)) >> 1;
  const before = source.words;
  const after = held.words;

  const row = (y: number, inside: Int32Array | null): void => {
    const cellRow = Math.floor(y / cell.y);
    const to = (cellRow & mask) * padded;
    if (y === cellRow * cell.y) sums.fill(0, to, to + padded);
    if (inside === null) return;
    const from = source.at(y) + source.guard;
    const at = held.at(y) + held.guard;
    for (let k = 0; k < inside.length; k++) {
      if (inside[k] === 0) continue;
      let changes = (before[from + k]! ^ after[at + k]!) & inside[k]!;
      while (changes !== 0) {
        const bit = Math.clz32(changes);
        changes ^= 0x80000000 >>> bit;
        const i = to + REACH + Math.floor((k * 32 + bit) / cell.x);
        sums[i] = sums[i]! + ((after[at + k]! << bit) & 0x80000000 ? 1 : -1);
      }
    }
  };

  /** Pixels of a side (`flip` 0: etched, −1: kept) that the window had before. */
  const countBefore = (cellRow: number, column: number, flip: number): number => {
    const left = Math.max(0, (column - REACH) * cell.x);
    const right = Math.min(widthPx, (column + REACH + 1) * cell.x);
    const first = left >> 5;
    const last = (right - 1) >> 5;
    let count = 0;
    for (let y = (cellRow - REACH) * cell.y; y < (cellRow + REACH + 1) * cell.y; y++) {
      const from = source.at(y) + source.guard;
      for (let k = first; k <= last; k++) {
        const head = k === first ? -1 >>> (left & 31) : -1;
        const tail = k === last ? -1 << (31 - ((right - 1) & 31)) : -1;
        count += countWord((before[from + k]! ^ flip) & head & tail);
      }
    }
    return count;
  };

  const columns = new Int32Array(padded);
  let asked = 0;
  const rowAt = (cellRow: number): number => (cellRow & mask) * padded;
  const ask = (cellRow: number, from: number, to: number): void => {
    asked = cellRow;
    const a = rowAt(cellRow - 2);
    const b = rowAt(cellRow - 1);
    const c = rowAt(cellRow);
    const d = rowAt(cellRow + 1);
    const e = rowAt(cellRow + 2);
    for (let i = from; i < to + 2 * REACH; i++)
      columns[i] = sums[a + i]! + sums[b + i]! + sums[c + i]! + sums[d + i]! + sums[e + i]!;
  };
  const changed = (cell: number): boolean => {
    const sum =
      columns[cell]! + columns[cell + 1]! + columns[cell + 2]! + columns[cell + 3]! + columns[cell + 4]!;
    const change = Math.abs(sum);
    if (change <= few) return false;
    return change > limit || change > MOST_LOST * countBefore(asked, cell, sum < 0 ? 0 : -1);
  };
  return { row, ask, changed };
}
