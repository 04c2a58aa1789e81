import { type Bitmap, createBitmap } from '../bitmap.ts';
import { type Erosion, eachEroded } from './erode.ts';

/** What decides a clearing plate, in pixels of the plate it clears. */
export interface MaskSize {
  /** Pixels of the plate along one pixel of the clearing plate. */
  readonly ratio: number;
  /** Nothing is fired nearer to a wall than this, from edge to edge. */
  readonly insetPx: number;
  /** Gaps in which a circle wider than this lies are covered. */
  readonly gapsOverPx: number;
}

/** A blank clearing plate: the same origin, and whole pixels only, so up to `ratio` − 1 pixels narrower and lower. */
export const blankMask = (
  { widthPx, heightPx }: Pick<Bitmap, 'widthPx' | 'heightPx'>,
  ratio: number,
  shared = false,
): Bitmap =>
  createBitmap(Math.max(1, Math.floor(widthPx / ratio)), Math.max(1, Math.floor(heightPx / ratio)), shared);

/** Sets the cells of `ratio` × `ratio` pixels all of which an erosion leaves. */
function wholeCells(map: Bitmap, erosion: Erosion, ratio: number, into: Bitmap): void {
  const all = new Uint8Array(into.widthPx);
  eachEroded(map, erosion, (row, y) => {
    if (y % ratio === 0) all.fill(1);
    for (let cell = 0, x = 0; cell < all.length; cell++) {
      let stays = all[cell]!;
      for (const end = Math.min(x + ratio, row.length); x < end; x++) stays &= row[x]!;
      all[cell] = stays;
    }
    const isLast = y % ratio === ratio - 1 || y === map.heightPx - 1;
    if (isLast && Math.floor(y / ratio) < into.heightPx) pack(all, into, Math.floor(y / ratio));
  });
}

/** Writes a row of bytes, 1 = set, as bits. */
function pack(row: Uint8Array, into: Bitmap, y: number): void {
  const at = y * into.strideBytes;
  for (let i = 0; i < into.strideBytes; i++) into.data[at + i] = 0;
  for (let x = 0; x < row.length; x++)
    if (row[x] === 1) into.data[at + (x >> 3)] = into.data[at + (x >> 3)]! | (0x80 >> (x & 7));
}

/**
 * The cells that circles wider than `acrossCells` reach which lie whole in the set cells and on the bitmap: an opening by a
 * disc. A circle's middle lies in a cell, not on its middle, so both steps give half a diagonal each way: every such circle is
 * found, and some that are up to four cells narrower.
 */
function openedCells(cells: Bitmap, acrossCells: number): Bitmap {
  const middles = createBitmap(cells.widthPx, cells.heightPx);
  const inner = {
    keep: 1,
    radiusPx: Math.max(0, acrossCells / 2 - Math.SQRT2),
    between: 'middles',
    outside: 'wall',
  } as const;
  eachEroded(cells, inner, (row, y) => pack(row, middles, y));
  const opened = createBitmap(cells.widthPx, cells.heightPx);
  const outer = {
    keep: 0,
    radiusPx: acrossCells / 2 + Math.SQRT2,
    between: 'middles',
    outside: 'open',
  } as const;
  eachEroded(middles, outer, (row, y) => {
    for (let x = 0; x < row.length; x++) row[x] = row[x]! ^ 1;
    pack(row, opened, y);
  });
  return opened;
}

/**
 * Draws a clearing plate into `mask`: 1 where all pixels under one of its own are etched, as far from every kept pixel as the
 * inset, and part of a gap that is wide enough. The edge of the plate bounds gaps but is no wall: the ground is cleared up to it.
 */
export function drawMask(etch: Bitmap, { ratio, insetPx, gapsOverPx }: MaskSize, mask: Bitmap): void {
  wholeCells(etch, { keep: 1, radiusPx: 0, between: 'edges', outside: 'open' }, ratio, mask);
  const wide = openedCells(mask, gapsOverPx / ratio);
  wholeCells(etch, { keep: 1, radiusPx: insetPx, between: 'edges', outside: 'open' }, ratio, mask);
  for (let i = 0; i < mask.data.length; i++) mask.data[i] = mask.data[i]! & wide.data[i]!;
}

/** Takes from each mask what the one before does not have, so that no ground is gone over twice by a later pass alone. */
export function nestMasks(masks: readonly Bitmap[]): void {
  for (let n = 1; n < masks.length; n++) {
    const [outer, inner] = [masks[n - 1]!.data, masks[n]!.data];
    for (let i = 0; i < inner.length; i++) inner[i] = inner[i]! & outer[i]!;
  }
}
