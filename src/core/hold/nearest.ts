import type { Bitmap } from '../bitmap.ts';
import { loadRow, type PlateSide } from './words.ts';

const CELL = 32;

/** Distance in pixels, centre to centre, from a pixel to the nearest one that is not of the side or not on the plate. */
export type DistanceAt = (x: number, y: number) => number;

/** Distance along a row from column `x` (0…31 or beyond the word) to the nearest set bit of a word, or Infinity. */
function nearestBit(word: number, x: number): number {
  if (word === 0) return Infinity;
  if (x <= 0) return Math.clz32(word) - x;
  if (x >= CELL - 1) return x - Math.clz32(word & -word);
  const right = word & (-1 >>> x);
  const left = word & (-1 << (31 - x));
  const toRight = right === 0 ? Infinity : Math.clz32(right) - x;
  const toLeft = left === 0 ? Infinity : x - Math.clz32(left & -left);
  return Math.min(toRight, toLeft);
}

/**
 * Exact distances one at a time. A first pass notes which cells of 32 × 32 pixels hold an obstacle; a
 * question then looks only into such cells, nearest rows of cells first, while they can still beat the best.
 */
export function createDistance(map: Bitmap, side: PlateSide): DistanceAt {
  const { widthPx, heightPx, data, strideBytes } = map;
  const columns = (widthPx + CELL - 1) >> 5;
  const rows = (heightPx + CELL - 1) >> 5;
  const flip = side === 'etched' ? -1 : 0;
  const occupied = new Uint8Array(columns * rows);
  const words = new Int32Array(columns);
  for (let y = 0; y < heightPx; y++) {
    loadRow(map, y, flip, 0, words, 0);
    const at = (y >> 5) * columns;
    for (let k = 0; k < columns; k++) if (words[k] !== 0) occupied[at + k] = 1;
  }
  const tail = -1 << (31 - ((widthPx - 1) & 31));
  const field = { widthPx, heightPx, data, strideBytes, flip, columns, rows, occupied, tail };
  return (x, y) => Math.sqrt(nearestSquare(field, x, y));
}

/** A side of a plate in cells of 32 × 32 pixels. */
interface Field extends Bitmap {
  /** What turns stored bits to obstacles. */
  readonly flip: number;
  readonly columns: number;
  readonly rows: number;
  /** 1 for cells with an obstacle in them. */
  readonly occupied: Uint8Array;
  /** The plate's own bits of the last column. */
  readonly tail: number;
}

/** Square of the distance from (x, y). */
function nearestSquare(field: Field, x: number, y: number): number {
  const { widthPx, heightPx, rows } = field;
  const edge = Math.min(x + 1, y + 1, widthPx - x, heightPx - y);
  const homeRow = y >> 5;
  let best = nearestInRow(field, x, y, homeRow, 0, edge * edge);
  for (let step = 1; ; step++) {
    const up = y - (homeRow - step + 1) * CELL + 1;
    const down = (homeRow + step) * CELL - y;
    const goUp = homeRow - step >= 0 && up * up < best;
    const goDown = homeRow + step < rows && down * down < best;
    if (goUp) best = nearestInRow(field, x, y, homeRow - step, up * up, best);
    if (goDown) best = nearestInRow(field, x, y, homeRow + step, down * down, best);
    if (!goUp && !goDown) return best;
  }
}

/** The same of what a row of cells holds, which is at least the square `down` away, where that is less than `best`. */
function nearestInRow(field: Field, x: number, y: number, row: number, down: number, best: number): number {
  const { columns, occupied } = field;
  const at = row * columns;
  const home = x >> 5;
  let least = best;
  if (occupied[at + home] === 1) least = nearestInCell(field, x, y, home, row, least);
  for (let column = home + 1, across = column * CELL - x; column < columns; column++, across += CELL) {
    if (across * across + down >= least) break;
    if (occupied[at + column] === 1) least = nearestInCell(field, x, y, column, row, least);
  }
  for (let column = home - 1, across = x - home * CELL + 1; column >= 0; column--, across += CELL) {
    if (across * across + down >= least) break;
    if (occupied[at + column] === 1) least = nearestInCell(field, x, y, column, row, least);
  }
  return least;
}

/** The same of one cell. */
function nearestInCell(
  field: Field,
  x: number,
  y: number,
  column: number,
  row: number,
  best: number,
): number {
  const { heightPx, data, strideBytes, flip, columns, tail } = field;
  const last = Math.min(heightPx, (row + 1) * CELL);
  const bytes = Math.min(4, strideBytes - column * 4);
  const own = column === columns - 1 ? tail : -1;
  let least = best;
  for (let yy = row * CELL; yy < last; yy++) {
    const down = (yy - y) * (yy - y);
    if (down >= least) continue;
    const at = yy * strideBytes + column * 4;
    let word = 0;
    for (let i = 0; i < bytes; i++) word |= data[at + i]! << (24 - 8 * i);
    const across = nearestBit((word ^ flip) & own, x - column * CELL);
    least = Math.min(least, down + across * across);
  }
  return least;
}
