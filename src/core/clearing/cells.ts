import { type Bitmap, createBitmap } from '../bitmap.ts';
import { eachEroded } from './erode.ts';

/** Writes a row of bytes, 1 = set, as bits. */
function pack(row: Uint8Array, into: Bitmap, y: number): void {
  const at = y * into.strideBytes;
  const whole = row.length >> 3;
  for (let i = 0, x = 0; i < whole; i++, x += 8)
    into.data[at + i] =
      (row[x]! << 7) |
      (row[x + 1]! << 6) |
      (row[x + 2]! << 5) |
      (row[x + 3]! << 4) |
      (row[x + 4]! << 3) |
      (row[x + 5]! << 2) |
      (row[x + 6]! << 1) |
      row[x + 7]!;
  let rest = 0;
  for (let x = whole * 8; x < row.length; x++) rest |= row[x]! << (7 - (x & 7));
  if (row.length & 7) into.data[at + whole] = rest;
}

/** A plate in cells of `ratio` × `ratio` pixels: set where all its pixels are; what lies off the plate is left out of account. */
export function cellsOf(map: Bitmap, ratio: number): Bitmap {
  const { data, widthPx, heightPx, strideBytes } = map;
  const cells = createBitmap(Math.ceil(widthPx / ratio), Math.ceil(heightPx / ratio));
  const all = new Uint8Array(strideBytes);
  const row = new Uint8Array(cells.widthPx);
  for (let cellY = 0; cellY < cells.heightPx; cellY++) {
    all.fill(0xff);
    for (let y = cellY * ratio; y < Math.min((cellY + 1) * ratio, heightPx); y++) {
      const at = y * strideBytes;
      for (let i = 0; i < strideBytes; i++) all[i] = all[i]! & data[at + i]!;
    }
    for (let cell = 0, x = 0; cell < row.length; cell++) {
      let stays = 1;
      for (const end = Math.min(x + ratio, widthPx); x < end; x++) stays &= all[x >> 3]! >> (7 - (x & 7));
      row[cell] = stays;
    }
    pack(row, cells, cellY);
  }
  return cells;
}

/**
 * The cells that circles wider than `acrossCells` reach which lie whole in the set cells and on the bitmap: an opening by a
 * disc. A circle's middle lies in a cell, not on its middle, so both steps give half a diagonal each way: every such circle is
 * found, and some that are up to four cells narrower.
 */
export function openedCells(cells: Bitmap, acrossCells: number): Bitmap {
  const middles = createBitmap(cells.widthPx, cells.heightPx);
  const inner = Math.max(0, acrossCells / 2 - Math.SQRT2);
  eachEroded(cells, { keep: 1, radiusPx: inner, between: 'middles', outside: 'wall' }, (row, y) =>
    pack(row, middles, y),
  );
  const opened = createBitmap(cells.widthPx, cells.heightPx);
  const outer = acrossCells / 2 + Math.SQRT2;
  eachEroded(middles, { keep: 0, radiusPx: outer, between: 'middles', outside: 'open' }, (row, y) => {
    for (let x = 0; x < row.length; x++) row[x] = row[x]! ^ 1;
    pack(row, opened, y);
  });
  return opened;
}
