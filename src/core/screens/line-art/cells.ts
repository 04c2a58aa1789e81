import { gatherCells } from './gather.ts';

/*
 * Line art has both extremes close together and hardly anything between them but the soft edge of a stroke. The two
 * figures are our own choice: on drawn lettering and hatches of strokes from 1.5 px all is found, on a tonal picture
 * of 500 dpi less than 0.2 % of the cells are (up to 1 % where one pixel of the source is one of the plate).
 */
const LEAST_RANGE = 190 / 255;
const MOST_BETWEEN = 50 / 255;
/** Cells to either side of the one in question. */
const REACH = 2;
const WINDOW = 2 * REACH + 1;
/** Cell rows remembered: a power of two from the window on. */
const ROWS = 8;

export interface CellShape {
  readonly widthPx: number;
  readonly cellXPx: number;
  readonly cellYPx: number;
  /** Darkest and lightest tone asked for. */
  readonly darkestTone: number;
  readonly lightestTone: number;
}

/** Tells line art from pictures, cell by cell, as tone rows run past. */
export interface LineCells {
  /** Takes tone row y; rows in order, the first a whole multiple of the cell's height. A cell row is judged two cell rows later. */
  row(tone: Uint16Array, y: number): void;
  /** Index in `verdicts` of the first cell of a cell row: 1 where it belongs to line art. */
  at(cellRow: number): number;
  readonly verdicts: Uint8Array;
}

/** Cell rows below that `verdicts` waits for. */
export const CELL_ROWS_BELOW = REACH;

/** Bit planes of a cell row: some of it dark or light enough at least, and dark or light enough whatever the other is. */
const PLANES = 4;

/**
 * A cell is line art where, over the 5 × 5 cells round it, the range of tones is at least 190/255 of what is asked for
 * and the pixels' mean distance from the nearer extreme at most 50/255. The outermost cells are repeated beyond the
 * sides. `keepRows` cell rows of verdicts stay readable. Cells without both extremes near are sorted out on bits.
 */
export function openLineCells(shape: CellShape, keepRows: number): LineCells {
  const { widthPx, cellXPx, cellYPx, darkestTone, lightestTone } = shape;
  const cells = Math.ceil(widthPx / cellXPx);
  const low = lightestTone < darkestTone ? lightestTone : 0;
  const full = Math.max(1, darkestTone - low);
  const leastRange = Math.ceil(full * LEAST_RANGE);
  const mostBetween = full * cellXPx * cellYPx * WINDOW * WINDOW * MOST_BETWEEN;
  const sureDark = (full + leastRange + 1) >> 1;
  const sureLight = sureDark - leastRange;

  const bufferPx = cells * cellXPx;
  const pairs = new Int32Array((bufferPx * cellYPx + 1) >> 1);
  const buffer = new Uint16Array(pairs.buffer, 0, bufferPx * cellYPx);
  const toneCells = { buffer, bufferPx, pairs, cellXPx, cellYPx, low, full };
  const padded = cells + 2 * REACH;
  const least = new Int32Array(padded * ROWS);
  const most = new Int32Array(padded * ROWS);
  const between = new Int32Array(padded * ROWS);
  const figures = { least, most, between };
  const words = (padded + 31) >> 5;
  const planes = new Int32Array(words * PLANES * ROWS);
  const raw = new Int32Array(words + 1);
  const keepMask = (1 << (32 - Math.clz32(keepRows - 1))) - 1;
  const verdicts = new Uint8Array(cells * (keepMask + 1));
  const at = (cellRow: number): number => (cellRow & keepMask) * cells;
  const slot = (cellRow: number): number => cellRow & (ROWS - 1);

  /** Bits of padded cells whose value lies above `limit` (`turn` 0) or at most there (−1), spread over the window. */
  const drawPlane = (values: Int32Array, from: number, limit: number, turn: number, to: number): void => {
    for (let k = 0, i = from; k < words; k++) {
      const end = Math.min(from + padded, i + 32);
      let word = 0;
      let bit = 0x80000000;
      for (; i < end; i++, bit >>>= 1) word |= (((limit - values[i]!) >> 31) ^ turn) & bit;
      raw[k] = word;
    }
    for (let k = 0; k < words; k++) {
      const here = raw[k]!;
      const next = raw[k + 1]!;
      const two = here | (here << 1) | (next >>> 31);
      const nextTwo = next | (next << 1);
      planes[to + k] = two | (two << 2) | (nextTwo >>> 30) | (here << 4) | (next >>> 28);
    }
  };

  const gather = (cellRow: number): void => {
    const from = slot(cellRow) * padded;
    gatherCells(toneCells, figures, from + REACH);
    for (const values of [least, most, between]) {
      values.fill(values[from + REACH]!, from, from + REACH);
      values.fill(values[from + REACH + cells - 1]!, from + REACH + cells, from + padded);
    }
    const to = slot(cellRow) * words * PLANES;
    drawPlane(most, from, leastRange - 1, 0, to);
    drawPlane(least, from, full - leastRange, -1, to + words);
    drawPlane(most, from, sureDark - 1, 0, to + 2 * words);
    drawPlane(least, from, sureLight, -1, to + 3 * words);
  };

  /** Is the cell line art, both extremes in its window given or (`sure` 0) still to be looked for? */
  const isLine = (cellRow: number, cell: number, sure: number): boolean => {
    let sum = 0;
    let lowest = 65535;
    let highest = 0;
    for (let row = cellRow - REACH; row <= cellRow + REACH; row++) {
      const i = slot(row) * padded + cell;
      sum += between[i]! + between[i + 1]! + between[i + 2]! + between[i + 3]! + between[i + 4]!;
      if (sum > mostBetween) return false;
      if (sure !== 0) continue;
      for (let j = i; j < i + WINDOW; j++) {
        if (least[j]! < lowest) lowest = least[j]!;
        if (most[j]! > highest) highest = most[j]!;
      }
    }
    return sure !== 0 || highest - lowest >= leastRange;
  };

  const judge = (cellRow: number): void => {
    const to = at(cellRow);
    verdicts.fill(0, to, to + cells);
    for (let k = 0; k < words; k++) {
      let dark = 0;
      let light = 0;
      let black = 0;
      let white = 0;
      for (let row = cellRow - REACH; row <= cellRow + REACH; row++) {
        const i = slot(row) * words * PLANES + k;
        dark |= planes[i]!;
        light |= planes[i + words]!;
        black |= planes[i + 2 * words]!;
        white |= planes[i + 3 * words]!;
      }
      let asked = dark & light;
      const sure = black & white;
      while (asked !== 0) {
        const bit = Math.clz32(asked);
        asked ^= 0x80000000 >>> bit;
        const cell = k * 32 + bit;
        if (cell < cells && isLine(cellRow, cell, (sure << bit) & 0x80000000)) verdicts[to + cell] = 1;
      }
    }
  };

  const row = (tone: Uint16Array, y: number): void => {
    const cellRow = Math.floor(y / cellYPx);
    const start = (y - cellRow * cellYPx) * bufferPx;
    buffer.set(tone, start);
    buffer.fill(tone[widthPx - 1]!, start + widthPx, start + bufferPx);
    if (y !== (cellRow + 1) * cellYPx - 1) return;
    gather(cellRow);
    judge(cellRow - REACH);
  };
  return { row, at, verdicts };
}
