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

/** The same for `count` pixels side by side: three rows of count + 2 pixels, the top row in the highest bits. */
function stripUnits(pixel: Int32Array, count: number): Int32Array {
  const bits = count + 2;
  const units = new Int32Array(1 << (3 * bits));
  for (let state = 0; state < units.length; state++)
    for (let right = 0; right < count; right++) {
      const top = (state >>> (2 * bits + right)) & 7;
      const middle = (state >>> (bits + right)) & 7;
      units[state]! += pixel[(top << 6) | (middle << 3) | ((state >>> right) & 7)]!;
    }
  return units;
}

/**
 * Etched units of the rows [fromRow, toRow) for marks that reach no farther than the eight pixels around.
 * A table of three rows of five pixels answers for three at a time. Measured: a sixth of the time of one OR and
 * one count for each region, and two thirds of that of a table for four pixels, which outgrows the cache.
 */
export function openNear(regions: readonly SpotRegion[]) {
  const pixel = pixelUnits(regions);
  const three = stripUnits(pixel, 3);
  const two = stripUnits(pixel, 2);
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
          three[((aLeft >>> 17) & 0x7c00) | ((bLeft >>> 22) & 0x3e0) | (cLeft >>> 27)]! +
          three[((aLeft >>> 14) & 0x7c00) | ((bLeft >>> 19) & 0x3e0) | ((cLeft >>> 24) & 31)]! +
          three[((aLeft >>> 11) & 0x7c00) | ((bLeft >>> 16) & 0x3e0) | ((cLeft >>> 21) & 31)]! +
          three[((aLeft >>> 8) & 0x7c00) | ((bLeft >>> 13) & 0x3e0) | ((cLeft >>> 18) & 31)]! +
          three[((aLeft >>> 5) & 0x7c00) | ((bLeft >>> 10) & 0x3e0) | ((cLeft >>> 15) & 31)]! +
          three[((aRight >>> 4) & 0x7c00) | ((bRight >>> 9) & 0x3e0) | ((cRight >>> 14) & 31)]! +
          three[((aRight >>> 1) & 0x7c00) | ((bRight >>> 6) & 0x3e0) | ((cRight >>> 11) & 31)]! +
          three[((aRight << 2) & 0x7c00) | ((bRight >>> 3) & 0x3e0) | ((cRight >>> 8) & 31)]! +
          three[((aRight << 5) & 0x7c00) | (bRight & 0x3e0) | ((cRight >>> 5) & 31)]! +
          three[((aRight << 8) & 0x7c00) | ((bRight << 3) & 0x3e0) | ((cRight >>> 2) & 31)]! +
          two[((aRight << 8) & 0xf00) | ((bRight << 4) & 0xf0) | (cRight & 15)]!;
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
