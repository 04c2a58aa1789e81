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
/** Cells, either way, whose pixels it looks at. */
export const TALLY_REACH = REACH;
/** Cell rows below one that `changed` waits for. */
export const TALLY_ROWS_BELOW = REACH;

/** Counts how much of the tone holding changes around each cell. */
export interface Tally {
  /** Counts what holding changed in row y, where `inside` has bits (null: nowhere). Rows in order. */
  row(y: number, inside: Int32Array | null): void;
  /**
   * Which of `asked` (the cells from `first` on, the first in bit 31, at most 32) have holding change the tone round them too
   * much; once the rows of the two cell rows below are counted.
   */
  changed(cellRow: number, first: number, asked: number): number;
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

  const isMuch = (sum: number, cellRow: number, cell: number): boolean => {
    const change = Math.abs(sum);
    return change > limit || change > MOST_LOST * countBefore(cellRow, cell, sum < 0 ? 0 : -1);
  };

  const columns = new Int32Array(32 + 2 * REACH);
  const rowAt = (cellRow: number): number => (cellRow & mask) * padded;
  const changed = (cellRow: number, first: number, asked: number): number => {
    const a = rowAt(cellRow - 2) + first;
    const b = rowAt(cellRow - 1) + first;
    const c = rowAt(cellRow) + first;
    const d = rowAt(cellRow + 1) + first;
    const e = rowAt(cellRow + 2) + first;
    const last = Math.min(columns.length, padded - first);
    let any = 0;
    for (let i = 0; i < last; i++) {
      const column = sums[a + i]! + sums[b + i]! + sums[c + i]! + sums[d + i]! + sums[e + i]!;
      columns[i] = column;
      any |= column;
    }
    if (any === 0) return 0;
    let sum = columns[0]! + columns[1]! + columns[2]! + columns[3]!;
    let word = 0;
    for (let i = 0, bit = 0x80000000; i < last - 2 * REACH; i++, bit >>>= 1) {
      sum += columns[i + 2 * REACH]!;
      if (Math.abs(sum) > few && (asked & bit) !== 0 && isMuch(sum, cellRow, first + i)) word |= bit;
      sum -= columns[i]!;
    }
    return word;
  };
  return { row, changed };
}
