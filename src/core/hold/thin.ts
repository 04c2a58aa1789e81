import { type Bitmap, countWord } from '../bitmap.ts';
import type { Box } from './clusters.ts';
import { findPieces, type Piece, type Reused, ribbonWidthPx } from './components.ts';
import { eachOpened, type OpenedBlock, type OpeningOptions } from './opening.ts';

/** Height of a tile in rows; its width is one word, 32 pixels. */
const TILE_ROWS = 32;

/**
 * A tile where more than twelve pieces begin, or that more than six ribbons cross, is a tone and not a drawing:
 * it is counted whole instead of piece by piece.
 */
const CROWDED_BEGINS = 12;
const CROWDED_RUNS = 6 * 32;

/** A thin piece, or all thin pieces of a crowded tile. */
export interface ThinSpot extends Box {
  readonly kind: 'wall' | 'dot';
  readonly count: number;
  readonly areaPx: number;
  readonly widthPx: number;
}

const countWords = (words: Int32Array, at: number, rows: number, stride: number): number => {
  let sum = 0;
  for (let y = 0; y < rows; y++) sum += countWord(words[at + y * stride]!);
  return sum;
};

/** Puts down what a piece is; false for the tip of a corner, shorter than the width asked for, which is no wall. */
function tellPiece(piece: Piece, limitPx: number, spot: Reused<ThinSpot>): boolean {
  const { left, top, right, bottom, areaPx, marked } = piece;
  const widePx = right - left;
  const highPx = bottom - top;
  const short = Math.max(widePx, highPx) < limitPx;
  if (short && marked) return false;
  spot.left = left;
  spot.top = top;
  spot.right = right;
  spot.bottom = bottom;
  spot.areaPx = areaPx;
  spot.count = 1;
  spot.kind = short ? 'dot' : 'wall';
  if (short) spot.widthPx = Math.max(widePx, highPx);
  else {
    const solid = areaPx === widePx * highPx;
    const widthPx = solid ? Math.min(widePx, highPx) : ribbonWidthPx(areaPx, piece.rowRuns, piece.columnRuns);
    spot.widthPx = Math.min(limitPx - 1, Math.max(1, widthPx));
  }
  return true;
}

/** Marks the thin pixels that touch something wide enough (or a crowded tile), for the own rows of a block. */
function markAttached(block: OpenedBlock, removed: Int32Array, marks: Int32Array): void {
  const { stride, origin, rows, source } = block;
  for (let y = 0; y < rows; y++) {
    const at = origin + y * stride;
    for (let k = at; k < at + stride - (origin % stride); k++) {
      const thin = removed[k]!;
      if (thin === 0) {
        marks[k] = 0;
        continue;
      }
      let near = 0;
      for (let row = k - stride; row <= k + stride; row += stride) {
        const here = source[row]! & ~removed[row]!;
        const before = source[row - 1]! & ~removed[row - 1]!;
        const after = source[row + 1]! & ~removed[row + 1]!;
        near |= here | (here << 1) | (here >>> 1) | (after >>> 31) | (before << 31);
      }
      marks[k] = thin & near;
    }
  }
}

interface TileSums {
  readonly pixels: Int32Array;
  /** Runs along rows and along columns, and pieces that begin. */
  readonly rowRuns: Int32Array;
  readonly columnRuns: Int32Array;
  readonly begins: Int32Array;
}

/** Sums over one row of tiles, a value for each word across. */
function sumTiles(block: OpenedBlock, firstRow: number, rows: number, sums: TileSums): void {
  const { stride, origin, removed } = block;
  const { pixels, rowRuns, columnRuns, begins } = sums;
  for (const values of [pixels, rowRuns, columnRuns, begins]) values.fill(0);
  for (let y = firstRow; y < firstRow + rows; y++) {
    const at = origin + y * stride;
    for (let k = 0; k < pixels.length; k++) {
      const here = removed[at + k]!;
      if (here === 0) continue;
      const up = at + k - stride;
      const above = removed[up]!;
      const starts = here & ~((here >>> 1) | (removed[at + k - 1]! << 31));
      const nearAbove =
        above | (above << 1) | (above >>> 1) | (removed[up + 1]! >>> 31) | (removed[up - 1]! << 31);
      pixels[k] = pixels[k]! + countWord(here);
      rowRuns[k] = rowRuns[k]! + countWord(starts);
      columnRuns[k] = columnRuns[k]! + countWord(here & ~above);
      begins[k] = begins[k]! + countWord(starts & ~nearAbove);
    }
  }
}

/**
 * Finds everything of one side that is too thin and hands it over as walls and dots. Drawings are told piece by
 * piece; where pieces crowd (halftones) a tile of 32 × 32 pixels stands for all of its own, called dots where
 * the side covers less than half of it and walls where it covers more. Returns the number of thin pixels. `emit` is
 * given the same object every time.
 */
export function findThin(map: Bitmap, options: OpeningOptions, emit: (spot: ThinSpot) => void): number {
  const across = (map.widthPx + 31) >> 5;
  const limitPx = options.widthPx;
  const sums: TileSums = {
    pixels: new Int32Array(across),
    rowRuns: new Int32Array(across),
    columnRuns: new Int32Array(across),
    begins: new Int32Array(across),
  };
  const spot: Reused<ThinSpot> = {
    kind: 'wall',
    left: 0,
    top: 0,
    right: 0,
    bottom: 0,
    count: 0,
    areaPx: 0,
    widthPx: 0.5, // a fraction from the start, or the engine makes its mind up twice
  };
  const finder = findPieces(map.widthPx, 8, (piece) => {
    if (tellPiece(piece, limitPx, spot)) emit(spot);
  });
  let marks = new Int32Array(0);
  let thinPx = 0;

  const crowdedTile = (block: OpenedBlock, firstRow: number, rows: number, k: number): void => {
    const at = block.origin + firstRow * block.stride + k;
    const areaPx = sums.pixels[k]!;
    const left = k * 32;
    const right = Math.min(map.widthPx, left + 32);
    const sidePx = countWords(block.source, at, rows, block.stride);
    const top = block.firstRow + firstRow;
    const kind = sidePx * 2 < (right - left) * rows ? 'dot' : 'wall';
    const ribbonPx = ribbonWidthPx(areaPx, sums.rowRuns[k]!, sums.columnRuns[k]!);
    // a dot's area over its runs is 1/√2 of its width
    spot.kind = kind;
    spot.left = left;
    spot.top = top;
    spot.right = right;
    spot.bottom = top + rows;
    spot.count = Math.max(1, sums.begins[k]!);
    spot.areaPx = areaPx;
    spot.widthPx = Math.min(limitPx - 1, Math.max(1, kind === 'dot' ? ribbonPx * Math.SQRT2 : ribbonPx));
    emit(spot);
    for (let y = 0; y < rows; y++) block.removed[at + y * block.stride] = 0;
  };

  eachOpened(map, options, (block) => {
    if (!block.anyRemoved) return;
    const { stride, origin, removed } = block;
    for (let first = 0; first < block.rows; first += TILE_ROWS) {
      const rows = Math.min(TILE_ROWS, block.rows - first);
      sumTiles(block, first, rows, sums);
      for (let k = 0; k < across; k++) {
        thinPx += sums.pixels[k]!;
        const runs = sums.rowRuns[k]! + sums.columnRuns[k]!;
        if (sums.begins[k]! > CROWDED_BEGINS || runs > CROWDED_RUNS) crowdedTile(block, first, rows, k);
      }
    }
    if (marks.length < removed.length) marks = new Int32Array(removed.length);
    markAttached(block, removed, marks);
    for (let y = 0; y < block.rows; y++) {
      const at = origin + y * stride;
      finder.row(removed, at, block.firstRow + y, marks, at);
    }
  });
  finder.end();
  return thinPx;
}
