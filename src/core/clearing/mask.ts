import { type Bitmap, createBitmap, getBit, setBit } from '../bitmap.ts';
import { cellsOf, openedCells } from './cells.ts';
import { eachEroded, NONE, reachTable } from './erode.ts';

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

/** True where a row of a plate has a kept pixel in [from, to]. */
function hasKept({ data, widthPx, strideBytes }: Bitmap, y: number, from: number, to: number): boolean {
  const left = Math.max(0, from);
  const right = Math.min(widthPx - 1, to);
  const first = left >> 3;
  const last = right >> 3;
  const at = y * strideBytes;
  for (let i = first; i <= last; i++) {
    const head = i === first ? 0xff >> (left & 7) : 0xff;
    const tail = i === last ? (0xff << (7 - (right & 7))) & 0xff : 0xff;
    if ((data[at + i]! & head & tail) !== (head & tail)) return true;
  }
  return false;
}

/** True where no kept pixel is nearer to a cell than the reaches say, by how many rows away it is. */
function isClear(etch: Bitmap, left: number, top: number, ratio: number, reach: Int32Array): boolean {
  const right = left + ratio - 1;
  const bottom = top + ratio - 1;
  for (let y = top; y <= bottom; y++) if (hasKept(etch, y, left - reach[0]!, right + reach[0]!)) return false;
  for (let v = 1; v < reach.length && reach[v]! !== NONE; v++) {
    if (top - v >= 0 && hasKept(etch, top - v, left - reach[v]!, right + reach[v]!)) return false;
    if (bottom + v < etch.heightPx && hasKept(etch, bottom + v, left - reach[v]!, right + reach[v]!))
      return false;
  }
  return true;
}

/**
 * Draws a clearing plate into `mask`: 1 where all pixels under one of its own are etched, as far from every kept pixel as the
 * inset, and part of a gap that is wide enough. The edge of the plate bounds gaps but is no wall: the ground is cleared up to it.
 * Cells far from any that is not whole are clear for sure; only those along the walls are held against the pixels themselves.
 */
export function drawMask(etch: Bitmap, { ratio, insetPx, gapsOverPx }: MaskSize, mask: Bitmap): void {
  const cells = cellsOf(etch, ratio);
  const wide = openedCells(cells, gapsOverPx / ratio);
  for (let i = 0; i < wide.data.length; i++) wide.data[i] = wide.data[i]! & cells.data[i]!;
  const reach = reachTable(insetPx, 'edges');
  mask.data.fill(0);
  eachEroded(cells, { keep: 1, radiusPx: insetPx / ratio, between: 'edges', outside: 'open' }, (sure, y) => {
    if (y >= mask.heightPx) return;
    for (let x = 0; x < mask.widthPx; x++)
      if (getBit(wide, x, y) === 1 && (sure[x] === 1 || isClear(etch, x * ratio, y * ratio, ratio, reach)))
        setBit(mask, x, y, 1);
  });
}

/** Takes from each mask what the one before does not have, so that no ground is gone over by a later pass alone. */
export function nestMasks(masks: readonly Bitmap[]): void {
  for (let n = 1; n < masks.length; n++) {
    const [outer, inner] = [masks[n - 1]!.data, masks[n]!.data];
    for (let i = 0; i < inner.length; i++) inner[i] = inner[i]! & outer[i]!;
  }
}
