import type { Bitmap } from '../bitmap.ts';
import { reachOf, type SpotShape } from '../spot/regions.ts';
import { ownUnits, UNITS_PER_PX } from '../spot/units.ts';
import { readRowWords, wordsFor } from '../spot/words.ts';
import { openBeamBits, PLACES } from './beam-bits.ts';
import type { PlaneSize } from './box.ts';
import type { CellSide, CellSums } from './cell-sums.ts';
import { countedSums } from './counted-cells.ts';
import { nearSums } from './near-cells.ts';
import type { ShareRows } from './rows.ts';

/** Widths and heights are those of whole cells. */
export interface Cells extends PlaneSize {
  /** The plate's own size in cells, the last in part. */
  readonly extent: PlaneSize;
  readonly rows: ShareRows;
}

/**
 * Etched shares of a plate in square cells of `side` pixels, for plates much finer than their proof. A beam that
 * reaches beyond the next pixel is looked at in four places of each pixel, words of 32 pixels at a time; null leaves
 * the pixels as they are. Cells beyond the plate's last pixel count what is there.
 */
export function openCells(map: Bitmap, shape: SpotShape | null, side: CellSide): Cells {
  const size = { widthPx: Math.ceil(map.widthPx / side), heightPx: Math.ceil(map.heightPx / side) };
  const summed = (side === 4 ? fewSums(map, shape) : null) ?? sumsOf(map, shape, side);
  // cells of the last column may have fewer pixels
  const inLast = map.widthPx - (size.widthPx - 1) * side;
  return {
    ...size,
    extent: { widthPx: map.widthPx / side, heightPx: map.heightPx / side },
    rows(y, into) {
      const count = Math.min(side, map.heightPx - y * side);
      summed(y * side, y * side + count, 1 / (side * count), into);
      if (inLast < side) into[into.length - 1] = (into[into.length - 1]! * side) / inLast;
    },
  };
}

function sumsOf(map: Bitmap, shape: SpotShape | null, side: CellSide): CellSums {
  if (shape === null) return firedSums(map, side);
  const near = Math.max(...Object.values(reachOf(shape))) <= 1;
  return near ? nearSums(map, shape, side) : sampledSums(map, shape, side);
}

/** Where marks stay within their pixels it is enough to count them; null elsewhere, and where the engine has no vectors. */
function fewSums(map: Bitmap, shape: SpotShape | null): CellSums | null {
  if (shape === null) return countedSums(map, (fired, share) => fired * share);
  const units = ownUnits(shape);
  if (units === null) return null;
  return countedSums(map, (fired, share) => fired * units * (share / UNITS_PER_PX));
}

/** The pixels as they are fired: up to four rows of them, which are counted like places. */
function firedSums(map: Bitmap, side: CellSide): CellSums {
  const counts = openCounts(map, side);
  const rows = Array.from({ length: PLACES }, () => new Int32Array(wordsFor(map.widthPx) + 2));
  return (from, to, share, into) => {
    counts.clear();
    for (const [i, row] of rows.entries()) readRowWords(map, from + i < to ? from + i : -1, row);
    counts.add(rows);
    counts.take(into, share);
  };
}

/** What a beam etches, looked at in four places of each pixel. */
function sampledSums(map: Bitmap, shape: SpotShape, side: CellSide): CellSums {
  const counts = openCounts(map, side);
  const rowsOf = openBeamBits(map, shape);
  return (from, to, share, into) => {
    counts.clear();
    for (let y = from; y < to; y++) counts.add(rowsOf(y));
    counts.take(into, share / PLACES);
  };
}

/** Counts of bits kept four cells to a word: a byte holds 4 × 4 pixels looked at in four places. */
function openCounts(map: Bitmap, side: CellSide) {
  const words = wordsFor(map.widthPx);
  const sums = Array.from({ length: 8 / side }, () => new Int32Array(words + 2));
  const [add, take] = side === 2 ? [addPairs, takePairs] : [addNibbles, takeNibbles];
  return {
    clear(): void {
      for (const sum of sums) sum.fill(0);
    },
    /** Adds four rows of words. */
    add([p, q, r, s]: readonly Int32Array[]): void {
      add(p!, q!, r!, s!, words, sums);
    },
    take: (into: Float32Array, share: number): void => take(sums, into, share),
  };
}

/** Counts of set bits by pairs of pixels, a crumb of two bits each. */
const pairsOf = (word: number): number => (word & 0x55555555) + ((word >>> 1) & 0x55555555);

/**
 * Adds four rows of bits at once: their sum at each pixel in binary digits, and then the digits' counts by their weights.
 * Every pair of pixels has a byte: pair p of a word byte p >> 2 of `sums[p & 3]`, from the left.
 */
function addPairs(
  p: Int32Array,
  q: Int32Array,
  r: Int32Array,
  s: Int32Array,
  words: number,
  sums: readonly Int32Array[],
): void {
  const [a, b, c, d] = sums as [Int32Array, Int32Array, Int32Array, Int32Array];
  for (let w = 1; w <= words; w++) {
    if ((p[w]! | q[w]! | r[w]! | s[w]!) === 0) continue;
    const odd = p[w]! ^ q[w]!;
    const three = odd ^ r[w]!;
    const carry = (p[w]! & q[w]!) | (odd & r[w]!);
    const more = three & s[w]!;
    const ones = pairsOf(three ^ s[w]!);
    const twos = pairsOf(carry ^ more);
    const fours = pairsOf(carry & more);
    a[w] = a[w]! + weighed(ones >>> 6, twos >>> 6, fours >>> 6, 0x03030303);
    b[w] = b[w]! + weighed(ones >>> 4, twos >>> 4, fours >>> 4, 0x03030303);
    c[w] = c[w]! + weighed(ones >>> 2, twos >>> 2, fours >>> 2, 0x03030303);
    d[w] = d[w]! + weighed(ones, twos, fours, 0x03030303);
  }
}

const weighed = (ones: number, twos: number, fours: number, mask: number): number =>
  (ones & mask) + ((twos & mask) << 1) + ((fours & mask) << 2);

function takePairs(sums: readonly Int32Array[], into: Float32Array, share: number): void {
  const [a, b, c, d] = sums as [Int32Array, Int32Array, Int32Array, Int32Array];
  for (let x = 0, w = 1; x < into.length; w++) {
    for (let shift = 24; shift >= 0 && x < into.length; shift -= 8) {
      // what is beyond the end of a row is let go of
      into[x++] = ((a[w]! >>> shift) & 255) * share;
      into[x++] = ((b[w]! >>> shift) & 255) * share;
      into[x++] = ((c[w]! >>> shift) & 255) * share;
      into[x++] = ((d[w]! >>> shift) & 255) * share;
    }
  }
}

/** Counts of set bits by fours of pixels, a nibble each. */
function nibblesOf(word: number): number {
  const pairs = pairsOf(word);
  return (pairs & 0x33333333) + ((pairs >>> 2) & 0x33333333);
}

/** Likewise for fours of pixels: four n of a word goes to byte n >> 1 of `sums[n & 1]`. */
function addNibbles(
  p: Int32Array,
  q: Int32Array,
  r: Int32Array,
  s: Int32Array,
  words: number,
  sums: readonly Int32Array[],
): void {
  const [a, b] = sums as [Int32Array, Int32Array];
  for (let w = 1; w <= words; w++) {
    if ((p[w]! | q[w]! | r[w]! | s[w]!) === 0) continue;
    const odd = p[w]! ^ q[w]!;
    const three = odd ^ r[w]!;
    const carry = (p[w]! & q[w]!) | (odd & r[w]!);
    const more = three & s[w]!;
    const ones = nibblesOf(three ^ s[w]!);
    const twos = nibblesOf(carry ^ more);
    const fours = nibblesOf(carry & more);
    a[w] = a[w]! + weighed(ones >>> 4, twos >>> 4, fours >>> 4, 0x0f0f0f0f);
    b[w] = b[w]! + weighed(ones, twos, fours, 0x0f0f0f0f);
  }
}

function takeNibbles(sums: readonly Int32Array[], into: Float32Array, share: number): void {
  const [a, b] = sums as [Int32Array, Int32Array];
  const words = into.length >> 3;
  for (let w = 1, x = 0; w <= words; w++, x += 8) {
    const even = a[w]!;
    const odd = b[w]!;
    into[x] = (even >>> 24) * share;
    into[x + 1] = (odd >>> 24) * share;
    into[x + 2] = ((even >>> 16) & 255) * share;
    into[x + 3] = ((odd >>> 16) & 255) * share;
    into[x + 4] = ((even >>> 8) & 255) * share;
    into[x + 5] = ((odd >>> 8) & 255) * share;
    into[x + 6] = (even & 255) * share;
    into[x + 7] = (odd & 255) * share;
  }
  for (let x = words * 8; x < into.length; x++)
    into[x] = ((sums[x & 1]![words + 1]! >>> (24 - 4 * (x & 6))) & 255) * share;
}
