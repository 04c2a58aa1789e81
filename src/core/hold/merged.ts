import { type Bitmap, createBitmap, getBit, setBit } from '../bitmap.ts';
import type { Box } from './clusters.ts';
import { findPieces } from './components.ts';
import { BLOCK_ROWS, createBlock, loadBlock, loadRow, orFromLeft, orFromRight, popcount } from './words.ts';

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
 * For each sample within a pixel, the neighbours whose spot covers it: four samples a pixel where a spot reaches
 * few neighbours, else its centre. Circular spots that overlap: Roetling & Holladay 1979 (from memory).
 */
function samples(radiusPx: number): Offset[][] {
  const at = radiusPx < 2.5 ? [-0.25, 0.25] : [0];
  const reach = Math.ceil(radiusPx + 0.5);
  const lists: Offset[][] = [];
  for (const sy of at) {
    for (const sx of at) {
      const list: Offset[] = [];
      for (let dy = -reach; dy <= reach; dy++) {
        for (let dx = -reach; dx <= reach; dx++)
          if (Math.hypot(dx - sx, dy - sy) <= radiusPx) list.push([dx, dy]);
      }
      lists.push(list);
    }
  }
  return lists;
}

/** Tiles that merge, one pixel each. */
function mergedTiles(map: Bitmap, radiusPx: number): Bitmap {
  const { widthPx, heightPx } = map;
  const across = (widthPx + TILE - 1) >> 5;
  const tiles = createBitmap(across, Math.ceil(heightPx / TILE));
  const lists = samples(radiusPx);
  const halo = Math.ceil(radiusPx + 0.5);
  const block = createBlock(map, BLOCK_ROWS + 1, halo, halo); // the last row is scratch
  const { words, stride, guard } = block;
  const scratch = words.length - stride;
  const used = -1 << (31 - ((widthPx - 1) & 31));
  const etched = new Int32Array(across);
  const covered = new Int32Array(across);

  const addRow = (at: number): void => {
    for (let k = 0; k < across; k++) etched[k] = etched[k]! + popcount(words[at + guard + k]!);
    for (const list of lists) {
      words.fill(0, scratch);
      for (const [dx, dy] of list) {
        if (dx < 0) orFromLeft(words, scratch, at + dy * stride, stride, -dx);
        else orFromRight(words, scratch, at + dy * stride, stride, dx);
      }
      const last = scratch + guard + across - 1;
      words[last] = words[last]! & used;
      for (let k = 0; k < across; k++) covered[k] = covered[k]! + popcount(words[scratch + guard + k]!);
    }
  };

  for (let firstRow = 0; firstRow < heightPx; firstRow += BLOCK_ROWS) {
    loadBlock(block, map, 'etched', firstRow, 0);
    for (let row = 0; row < BLOCK_ROWS && firstRow + row < heightPx; row += TILE) {
      const rows = Math.min(TILE, heightPx - firstRow - row);
      etched.fill(0);
      covered.fill(0);
      for (let y = row; y < row + rows; y++) addRow((halo + y) * stride);
      for (let k = 0; k < across; k++) {
        const areaPx = Math.min(TILE, widthPx - k * TILE) * rows;
        const kept = areaPx - etched[k]!;
        const stays = areaPx - covered[k]! / lists.length;
        const merges = kept > 0 && stays < (1 - MERGED_COVERAGE) * areaPx && stays <= (1 - LOST_SHARE) * kept;
        if (merges) setBit(tiles, k, (firstRow + row) / TILE, 1);
      }
    }
  }
  return tiles;
}

/**
 * Areas of tone that the spot has merged into solid: the bits still keep something, the plate does not. A field is
 * at least two tiles wide both ways, so that a lost line is not one.
 */
export function findMerged(map: Bitmap, spotPerPitch: number): MergedField[] {
  const tiles = mergedTiles(map, spotPerPitch / 2);
  const wide = createBitmap(tiles.widthPx, tiles.heightPx);
  const merges = (x: number, y: number): boolean => getBit(tiles, x, y) === 1;
  for (let y = 0; y + 1 < tiles.heightPx; y++) {
    for (let x = 0; x + 1 < tiles.widthPx; x++) {
      if (!merges(x, y) || !merges(x + 1, y) || !merges(x, y + 1) || !merges(x + 1, y + 1)) continue;
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
