import { type Bitmap, countWord, createBitmap, getBit, setBit } from '../bitmap.ts';
import type { Box } from './clusters.ts';
import { findPieces } from './components.ts';
import { BLOCK_ROWS, createBlock, loadBlock, loadRow, type WordBlock } from './words.ts';

/** A tile is 32 × 32 pixels: 0.8 mm at 1,000 dpi, 1.6 mm at 500. */
const TILE = 32;

/** From this share of a tile on, what the beam leaves is no land that could carry the wiping (from memory). */
const MERGED_COVERAGE = 0.98;

/** A tile merges if so much of what its bits keep is lost; a corner of a solid area keeps more. */
const LOST_SHARE = 0.9;

/** An area whose tone the spot has merged into one pool. */
export interface MergedField extends Box {
  readonly areaPx: number;
  /** Narrower side of its box. */
  readonly widthPx: number;
}

type Offset = readonly [dx: number, dy: number];

/**
 * For each sample within a pixel, the neighbours whose spot covers it, nearest first: four samples a pixel where
 * a spot reaches few neighbours, else its centre. Circular spots that overlap: Roetling & Holladay 1979 (from
 * memory).
 */
function samples(radiusPx: number): Offset[][] {
  const at = radiusPx < 1.5 ? [-0.25, 0.25] : [0];
  const reach = reachOf(radiusPx);
  return at.flatMap((sy) =>
    at.map((sx) => {
      const list: Offset[] = [];
      const far = ([dx, dy]: Offset): number => Math.hypot(dx - sx, dy - sy);
      for (let dy = -reach; dy <= reach; dy++) for (let dx = -reach; dx <= reach; dx++) list.push([dx, dy]);
      return list.filter((offset) => far(offset) <= radiusPx).sort((a, b) => far(a) - far(b));
    }),
  );
}

/** A word reaches 31 pixels to either side, more than any spot. */
const reachOf = (radiusPx: number): number => Math.min(31, Math.ceil(radiusPx + 0.5));

/** Pixels of one word that at least one neighbour's spot covers; stops once all are. */
function coveredWord(words: Int32Array, at: number, stride: number, list: readonly Offset[]): number {
  let covered = 0;
  for (let i = 0; i < list.length && covered !== -1; i++) {
    const [dx, dy] = list[i]!;
    const here = at + dy * stride;
    if (dx >= 0) covered |= (words[here]! << dx) | ((words[here + 1]! >>> 1) >>> (31 - dx));
    else covered |= (words[here]! >>> -dx) | ((words[here - 1]! << 1) << (31 + dx));
  }
  return covered;
}

/** Whether the spots leave as good as nothing of what the bits of a tile keep; `mask` has the columns that are the plate's. */
function merges(
  { words, stride }: WordBlock,
  at: number,
  rows: number,
  areaPx: number,
  etchedPx: number,
  mask: number,
  lists: readonly (readonly Offset[])[],
): boolean {
  const keptPx = areaPx - etchedPx;
  const most = Math.min((1 - MERGED_COVERAGE) * areaPx, (1 - LOST_SHARE) * keptPx) * lists.length;
  let stays = 0;
  for (let y = 0; y < rows && stays <= most; y++) {
    for (let i = 0; i < lists.length; i++)
      stays += countWord(~coveredWord(words, at + y * stride, stride, lists[i]!) & mask);
  }
  return stays <= most;
}

/** Tiles that merge, one pixel each. */
function mergedTiles(map: Bitmap, radiusPx: number): Bitmap {
  const { widthPx, heightPx } = map;
  const across = (widthPx + TILE - 1) >> 5;
  const tiles = createBitmap(across, Math.ceil(heightPx / TILE));
  const lists = samples(radiusPx);
  const spotPx = Math.max(...lists.map((list) => list.length));
  const halo = reachOf(radiusPx);
  const block = createBlock(map, BLOCK_ROWS, halo, halo);
  const { words, stride, guard } = block;
  const used = -1 << (31 - ((widthPx - 1) & 31));

  for (let firstRow = 0; firstRow < heightPx; firstRow += BLOCK_ROWS) {
    loadBlock(block, map, 'etched', firstRow, 0);
    for (let row = 0; row < BLOCK_ROWS && firstRow + row < heightPx; row += TILE) {
      const rows = Math.min(TILE, heightPx - firstRow - row);
      const at = (halo + row) * stride + guard;
      for (let k = 0; k < across; k++) {
        const areaPx = Math.min(TILE, widthPx - k * TILE) * rows;
        let etched = 0;
        for (let y = 0; y < rows; y++) etched += countWord(words[at + k + y * stride]!);
        // a firing covers no more than its own spot, so few firings cannot merge; spots outside may lend a seam
        if (etched === areaPx || etched * spotPx < areaPx / 4) continue;
        const mask = k === across - 1 ? used : -1;
        if (merges(block, at + k, rows, areaPx, etched, mask, lists))
          setBit(tiles, k, (firstRow + row) / TILE, 1);
      }
    }
  }
  return tiles;
}

/**
 * Areas of tone that the spot has merged into solid: the bits still keep something, the plate does not. A field is
 * at least two tiles wide both ways, so that a lost line is not one. `spotPerPitch` is the spot in pixels.
 */
export function findMerged(map: Bitmap, spotPerPitch: number): MergedField[] {
  const tiles = mergedTiles(map, spotPerPitch / 2);
  const wide = createBitmap(tiles.widthPx, tiles.heightPx);
  const isMerged = (x: number, y: number): boolean => getBit(tiles, x, y) === 1;
  for (let y = 0; y + 1 < tiles.heightPx; y++) {
    for (let x = 0; x + 1 < tiles.widthPx; x++) {
      if (!isMerged(x, y) || !isMerged(x + 1, y) || !isMerged(x, y + 1) || !isMerged(x + 1, y + 1)) continue;
      for (const dy of [0, 1]) for (const dx of [0, 1]) setBit(wide, x + dx, y + dy, 1);
    }
  }
  const fields: MergedField[] = [];
  const finder = findPieces(wide.widthPx, 8, (piece) => {
    const left = piece.left * TILE;
    const top = piece.top * TILE;
    const right = Math.min(map.widthPx, piece.right * TILE);
    const bottom = Math.min(map.heightPx, piece.bottom * TILE);
    const areaPx = piece.areaPx * TILE * TILE;
    fields.push({ left, top, right, bottom, areaPx, widthPx: Math.min(right - left, bottom - top) });
  });
  const words = new Int32Array((wide.widthPx + 31) >> 5);
  for (let y = 0; y < wide.heightPx; y++) {
    loadRow(wide, y, 0, 0, words, 0);
    finder.row(words, 0, y);
  }
  finder.end();
  return fields;
}
