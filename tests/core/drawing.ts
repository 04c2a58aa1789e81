import { type Bitmap, createBitmap, getBit, setBit } from '../../src/core/bitmap.ts';

/** A bitmap drawn as text: one line a row, `#` a set bit, anything else not. */
export function drawing(text: string): Bitmap {
  const lines = text
    .split('\n')
    .map((line) => line.trim())
    .filter((line) => line !== '');
  const bitmap = createBitmap(lines[0]?.length ?? 0, lines.length);
  lines.forEach((line, y) => {
    for (let x = 0; x < line.length; x++) setBit(bitmap, x, y, line[x] === '#' ? 1 : 0);
  });
  return bitmap;
}

/** The other way round, for messages one can look at. */
export function drawn(bitmap: Bitmap): string {
  return Array.from({ length: bitmap.heightPx }, (_, y) =>
    Array.from({ length: bitmap.widthPx }, (_, x) => (getBit(bitmap, x, y) ? '#' : '.')).join(''),
  ).join('\n');
}

/** A bitmap from rows of bits. */
export function fromRows(rows: readonly (readonly boolean[])[]): Bitmap {
  const bitmap = createBitmap(rows[0]?.length ?? 0, rows.length);
  rows.forEach((row, y) => {
    row.forEach((bit, x) => {
      setBit(bitmap, x, y, bit ? 1 : 0);
    });
  });
  return bitmap;
}
