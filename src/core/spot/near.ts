import type { Bitmap } from '../bitmap.ts';
import type { SpotRegion } from './regions.ts';
import { regionUnits } from './units.ts';
import { readRowWords, wordsFor } from './words.ts';

/** Etched units of the middle pixel for each of the 512 states of 3 × 3 pixels; the top left is the highest bit. */
export function pixelUnits(regions: readonly SpotRegion[]): Int32Array {
  const units = regionUnits(regions);
  const masks = regions.map(({ by }) => by.reduce((mask, { dx, dy }) => mask | (1 << (4 - 3 * dy - dx)), 0));
  return Int32Array.from({ length: 512 }, (_, state) =>
    masks.reduce((sum, mask, i) => (mask & state ? sum + units[i]! : sum), 0),
  );
}

/** The same for four pixels at once: three rows of six pixels, the top row in the highest bits. */
function fourPixelUnits(pixel: Int32Array): Int32Array {
  const table = new Int32Array(1 << 18);
  for (let state = 0; state < table.length; state++) {
    let sum = 0;
    for (let right = 0; right < 4; right++) {
      const top = (state >>> (12 + right)) & 7;
      const middle = (state >>> (6 + right)) & 7;
      sum += pixel[(top << 6) | (middle << 3) | ((state >>> right) & 7)]!;
    }
    table[state] = sum;
  }
  return table;
}

/**
 * Etched units of the rows [fromRow, toRow) for marks that reach no farther than the eight pixels around.
 * A table of three rows of six pixels answers for four at a time: measured, a seventh of the time of one OR and one
 * count for each region.
 */
export function openNear(regions: readonly SpotRegion[]) {
  const pixel = pixelUnits(regions);
  const four = fourPixelUnits(pixel);
  const solid = 32 * pixel[511]!;

  return (map: Bitmap, fromRow: number, toRow: number): number => {
    const words = wordsFor(map.widthPx);
    const whole = map.widthPx >>> 5;
    let a = new Int32Array(words + 2);
    let b = new Int32Array(words + 2);
    let c = new Int32Array(words + 2);
    readRowWords(map, fromRow - 1, a);
    readRowWords(map, fromRow, b);
    let total = 0;
    for (let y = fromRow; y < toRow; y++) {
      readRowWords(map, y + 1, c);
      for (let w = 1; w <= whole; w++) {
        // each row's 34 pixels as two words: left is shifted one to the right, right one to the left
        const aLeft = (a[w - 1]! << 31) | (a[w]! >>> 1);
        const bLeft = (b[w - 1]! << 31) | (b[w]! >>> 1);
        const cLeft = (c[w - 1]! << 31) | (c[w]! >>> 1);
        const aRight = (a[w]! << 1) | (a[w + 1]! >>> 31);
        const bRight = (b[w]! << 1) | (b[w + 1]! >>> 31);
        const cRight = (c[w]! << 1) | (c[w + 1]! >>> 31);
        if ((aLeft | bLeft | cLeft | aRight | bRight | cRight) === 0) continue;
        if ((aLeft & bLeft & cLeft & aRight & bRight & cRight) === -1) {
          total += solid;
          continue;
        }
        total +=
          four[((aLeft >>> 14) & 0x3f000) | ((bLeft >>> 20) & 0xfc0) | (cLeft >>> 26)]! +
          four[((aLeft >>> 10) & 0x3f000) | ((bLeft >>> 16) & 0xfc0) | ((cLeft >>> 22) & 63)]! +
          four[((aLeft >>> 6) & 0x3f000) | ((bLeft >>> 12) & 0xfc0) | ((cLeft >>> 18) & 63)]! +
          four[((aLeft >>> 2) & 0x3f000) | ((bLeft >>> 8) & 0xfc0) | ((cLeft >>> 14) & 63)]! +
          four[(aRight & 0x3f000) | ((bRight >>> 6) & 0xfc0) | ((cRight >>> 12) & 63)]! +
          four[((aRight << 4) & 0x3f000) | ((bRight >>> 2) & 0xfc0) | ((cRight >>> 8) & 63)]! +
          four[((aRight << 8) & 0x3f000) | ((bRight << 2) & 0xfc0) | ((cRight >>> 4) & 63)]! +
          four[((aRight << 12) & 0x3f000) | ((bRight << 6) & 0xfc0) | (cRight & 63)]!;
      }
      for (let x = whole << 5; x < map.widthPx; x++) {
        total += pixel[(threeFrom(a, x) << 6) | (threeFrom(b, x) << 3) | threeFrom(c, x)]!;
      }
      [a, b, c] = [b, c, a];
    }
    return total;
  };
}

/** The pixels x − 1, x, x + 1 of a row of words. */
function threeFrom(row: Int32Array, x: number): number {
  const at = x + 31; // pixel x − 1, the first word being a margin
  const word = at >>> 5;
  const shift = at & 31;
  const from = shift === 0 ? row[word]! : (row[word]! << shift) | (row[word + 1]! >>> (32 - shift));
  return from >>> 29;
}
