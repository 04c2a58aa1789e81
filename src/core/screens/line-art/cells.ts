import { countWord } from '../../bitmap.ts';
import { openEnds } from './ends.ts';
import { openFigures } from './gather.ts';
import { figuresBytes } from './gather-vector.ts';
import { NOTED_PX } from './note.ts';
import { openToneEdges, SIDE_PLANES, TONE_REACH } from './tone-edges.ts';
import type { ToneRows } from './tones.ts';

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
/** Cell rows that are kept, for tones that reach further than the window. */
export const ROWS = 2 * TONE_REACH + 1;
/** The least tone, of the darkest, that lies between bare paper and the tone, or between that and solid, of a grey cell. */
const LEAST_GREY = 10 / 255;
/** Cells of a block, one to each bit of a word. */
export const BLOCK = 32;
/** From so many cells of a block on, the window's columns are summed for all of them together. */
const MANY = 8;

/** Cells over a row of tones; tones are ink, 0 … 65535. */
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
  /**
   * Takes row y, which the tone rows have taken; rows in order, the first a whole multiple of the cell's height. A
   * cell row is judged `CELL_ROWS_BELOW` cell rows later.
   */
  row(y: number): void;
  /** Has a cell row any line art at all? */
  any(cellRow: number): boolean;
  /** Which of the cells from block · BLOCK on belong to line art, the first in bit 31. */
  verdicts(cellRow: number, block: number): number;
}

/** Cell rows below that `verdicts` waits for. */
export const CELL_ROWS_BELOW = TONE_REACH;

/** Bit planes of a cell row: dark or light enough at least, and dark or light enough whatever the other is. */
const PLANES = 4;
/** Figures are gathered by vectors of four cells. */
const SPARE_CELLS = 3;
/** With those which tell the edges of tones. */
const ALL_PLANES = PLANES + SIDE_PLANES;

/** How many figures and words of bits are kept. */
function roomFor({ widthPx, cellXPx, cellYPx }: Pick<CellShape, 'widthPx' | 'cellXPx' | 'cellYPx'>) {
  const cells = Math.ceil(widthPx / cellXPx);
  const words = Math.ceil(cells / BLOCK) * ALL_PLANES * ROWS;
  return { cellXPx, cellYPx, cells: (cells + 2 * REACH + SPARE_CELLS) * ROWS, words };
}

/** Bytes that the memory of the tone rows needs to spare for `openLineCells`. */
export const lineCellsBytes = (shape: CellShape): number => figuresBytes(roomFor(shape));

/**
 * A cell is line art where, over the 5 × 5 cells round it, the range of tones is at least 190/255 of what is asked for
 * and the pixels' mean distance from the nearer extreme at most 50/255, unless the edge of a tone lies there (`openToneEdges`).
 * The outermost cells are repeated beyond the sides. `tones` hold whole cells, `ROWS` rows of them at least. `keepRows` cell rows of verdicts stay readable. Blocks of 32 cells without both extremes close together are
 * passed by, within the others cells are sorted out on bits, and few are left to be looked at one by one.
 */
export function openLineCells(shape: CellShape, tones: ToneRows, keepRows: number): LineCells {
  const { widthPx, cellXPx, cellYPx, darkestTone, lightestTone } = shape;
  const cells = Math.ceil(widthPx / cellXPx);
  const low = lightestTone < darkestTone ? lightestTone : 0;
  const full = Math.max(1, darkestTone - low);
  const leastRange = Math.ceil(full * LEAST_RANGE);
  const mostBetween = Math.floor(full * cellXPx * cellYPx * WINDOW * WINDOW * MOST_BETWEEN);
  const sureDark = (full + leastRange + 1) >> 1;
  const sureLight = sureDark - leastRange;
  const half = full >> 1;
  const leastGrey = Math.ceil(full * cellXPx * cellYPx * LEAST_GREY);

  const blocks = Math.ceil(cells / BLOCK);
  const ends = openEnds(tones, {
    cellXPx,
    cellYPx,
    reach: REACH,
    darkAbove: low + leastRange - 1,
    lightBelow: low + full - leastRange + 1,
  });
  const padded = cells + 2 * REACH;
  const stride = padded + SPARE_CELLS;
  const figures = openFigures(tones, {
    ...roomFor(shape),
    low,
    full,
    limits: [leastRange - 1, full - leastRange, sureDark - 1, sureLight, half, half, leastGrey - 1],
  });
  const { least, most, between, planes } = figures;
  const all = [least, most, between];
  const gathered = new Uint8Array(blocks * ROWS);
  const spread = new Int32Array(PLANES);
  const keepMask = (1 << (32 - Math.clz32(keepRows - 1))) - 1;
  const found = new Uint8Array(keepMask + 1);
  const foundBits = new Int32Array(blocks * (keepMask + 1));
  const columnSums = new Int32Array(BLOCK + 2 * REACH);
  const any = (cellRow: number): boolean => found[cellRow & keepMask] !== 0;
  const verdicts = (cellRow: number, block: number): number =>
    foundBits[(cellRow & keepMask) * blocks + block]!;
  const slot = (cellRow: number): number => ((cellRow % ROWS) + ROWS) % ROWS;

  const gather = (cellRow: number, block: number): void => {
    const row = slot(cellRow);
    if (gathered[row * blocks + block] !== 0) return;
    gathered[row * blocks + block] = 1;
    const first = block * BLOCK;
    const last = Math.min(cells, first + BLOCK);
    const from = row * stride + REACH + first;
    const to = from + last - first;
    const start = tones.at(cellRow * cellYPx);
    figures.gather(start + first * cellXPx, last - first, from);
    for (const values of all) {
      if (first === 0) values.fill(values[from]!, from - REACH, from);
      if (last === cells) values.fill(values[to - 1]!, to, to + REACH);
    }
    figures.mark(from, last - first, (row * blocks + block) * ALL_PLANES);
  };

  /** Gathers the cells that lie within `reach` rows of a block, and those of the blocks beside it. */
  const gatherRound = (cellRow: number, block: number, reach: number): void => {
    const first = Math.max(0, block - 1);
    const last = Math.min(blocks - 1, block + 1);
    for (let row = cellRow - reach; row <= cellRow + reach; row++)
      for (let b = first; b <= last; b++) gather(row, b);
  };

  /** Does the range of tones round the cell reach far enough? */
  const isWide = (cellRow: number, cell: number): boolean => {
    let lowest = 65535;
    let highest = 0;
    for (let row = cellRow - REACH; row <= cellRow + REACH; row++) {
      const i = slot(row) * stride + cell;
      for (let j = i; j < i + WINDOW; j++) {
        if (least[j]! < lowest) lowest = least[j]!;
        if (most[j]! > highest) highest = most[j]!;
      }
    }
    return highest - lowest >= leastRange;
  };

  /** Do hardly any tones round the cell lie between the extremes? */
  const isClear = (cellRow: number, cell: number): boolean => {
    let sum = 0;
    for (let row = cellRow - REACH; row <= cellRow + REACH; row++) {
      const i = slot(row) * stride + cell;
      sum += between[i]! + between[i + 1]! + between[i + 2]! + between[i + 3]! + between[i + 4]!;
      if (sum > mostBetween) return false;
    }
    return true;
  };

  /** The same for all cells of a block, the first in bit 31. */
  const clearBits = (cellRow: number, first: number): number => {
    const last = Math.min(padded, first + BLOCK + 2 * REACH) - first;
    columnSums.fill(0);
    for (let row = cellRow - REACH; row <= cellRow + REACH; row++)
      for (let k = 0, i = slot(row) * stride + first; k < last; k++, i++) columnSums[k]! += between[i]!;
    let sum = columnSums[0]! + columnSums[1]! + columnSums[2]! + columnSums[3]!;
    let word = 0;
    for (let k = 0, bit = 0x80000000; k < BLOCK; k++, bit >>>= 1) {
      sum = (sum + columnSums[k + 2 * REACH]!) | 0;
      word |= ((sum - mostBetween - 1) >> 31) & bit;
      sum = (sum - columnSums[k]!) | 0;
    }
    return word;
  };

  /** The planes of all of the window's rows together, spread over two cells to either side. */
  const drawPlanes = (cellRow: number, block: number): void => {
    const first = Math.max(0, block - 1);
    const last = Math.min(blocks - 1, block + 1);
    gatherRound(cellRow, block, REACH);
    for (let plane = 0; plane < PLANES; plane++) {
      let before = 0;
      let here = 0;
      let after = 0;
      for (let row = cellRow - REACH; row <= cellRow + REACH; row++) {
        const i = (slot(row) * blocks + block) * ALL_PLANES + plane;
        here |= planes[i]!;
        if (first < block) before |= planes[i - ALL_PLANES]!;
        if (last > block) after |= planes[i + ALL_PLANES]!;
      }
      const right = (here << 1) | (after >>> 31) | (here << 2) | (after >>> 30);
      const left = (here >>> 1) | (before << 31) | (here >>> 2) | (before << 30);
      spread[plane] = here | left | right;
    }
  };

  const judgeBlock = (cellRow: number, block: number): void => {
    drawPlanes(cellRow, block);
    const first = block * BLOCK;
    let bits = spread[0]! & spread[1]!;
    if (first + BLOCK > cells) bits &= -1 << (BLOCK - (cells - first));
    if (bits === 0) return;
    const many = countWord(bits) >= MANY;
    if (many) bits &= clearBits(cellRow, first);
    // one by one those that neither is sure of
    const sure = spread[2]! & spread[3]!;
    for (let asked = many ? bits & ~sure : bits; asked !== 0; ) {
      const bit = Math.clz32(asked);
      const one = 0x80000000 >>> bit;
      asked ^= one;
      const cell = first + bit;
      if (!many && !isClear(cellRow, cell)) bits &= ~one;
      else if ((sure & one) === 0 && !isWide(cellRow, cell)) bits &= ~one;
    }
    foundBits[(cellRow & keepMask) * blocks + block] = bits;
    if (bits !== 0) found[cellRow & keepMask] = 1;
  };

  const judge = (cellRow: number): void => {
    found[cellRow & keepMask] = 0;
    foundBits.fill(0, (cellRow & keepMask) * blocks, ((cellRow & keepMask) + 1) * blocks);
    const met = ends.meet();
    let next = 0;
    for (let group = 0; group < met.length; group++)
      for (let bits = met[group]!; bits !== 0; ) {
        const bit = Math.clz32(bits);
        bits ^= 0x80000000 >>> bit;
        const block = Math.floor(((32 * group + bit) * NOTED_PX) / (cellXPx * BLOCK));
        if (block < next || block >= blocks) continue;
        judgeBlock(cellRow, block);
        next = block + 1;
      }
  };

  const edges = openToneEdges({ cells, planes, blocks, stride: ALL_PLANES, from: PLANES, slot });
  /** Leaves the edges of tones to the screen, once the rows below that these hang on are known. */
  const spareTones = (cellRow: number): void => {
    const at = cellRow & keepMask;
    if (found[at] === 0) return;
    let any = 0;
    for (let block = 0; block < blocks; block++) {
      const bits = foundBits[at * blocks + block]!;
      if (bits === 0) continue;
      gatherRound(cellRow, block, TONE_REACH);
      const left = bits & ~edges(cellRow, block);
      foundBits[at * blocks + block] = left;
      any |= left;
    }
    if (any === 0) found[at] = 0;
  };

  const row = (y: number): void => {
    const cellRow = Math.floor(y / cellYPx);
    if (y === cellRow * cellYPx) gathered.fill(0, slot(cellRow) * blocks, (slot(cellRow) + 1) * blocks);
    ends.row(y);
    if (y !== (cellRow + 1) * cellYPx - 1) return;
    judge(cellRow - REACH);
    spareTones(cellRow - TONE_REACH);
  };
  return { row, any, verdicts };
}
