import type { Bitmap } from '../bitmap.ts';
import { reachOf, type SpotShape } from '../spot/regions.ts';
import { wordsFor } from '../spot/words.ts';
import { openBeamBits } from './beam-bits.ts';
import type { PlaneSize } from './box.ts';
import { nearSums } from './near-cells.ts';
import type { ShareRows } from './rows.ts';

/** Pixels along a side of a cell. */
export type CellSide = 2 | 4;

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
  const near = shape !== null && Math.max(...Object.values(reachOf(shape))) <= 1;
  const summed = near ? nearSums(map, shape, side) : sampledSums(map, shape, side);
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

/** Sums over cells of the rows [from, to), times `share`. */
export type CellSums = (from: number, to: number, share: number, into: Float32Array) => void;

/** Sums of bits kept four cells to a word: a byte holds 4 × 4 pixels looked at in four places. */
function sampledSums(map: Bitmap, shape: SpotShape | null, side: CellSide): CellSums {
  const words = wordsFor(map.widthPx);
  const bits = openBeamBits(map, shape);
  const sums = Array.from({ length: 8 / side }, () => new Int32Array(words + 2));
  const [add, addFour, take] =
    side === 2 ? [addPairs, addFourPairs, takePairs] : [addNibbles, addFourNibbles, takeNibbles];
  return (from, to, share, into) => {
    for (const sum of sums) sum.fill(0);
    for (let y = from; y < to; y++) {
      if (bits.places === 4)
        addFour(bits.row(y, 0), bits.row(y, 1), bits.row(y, 2), bits.row(y, 3), words, sums);
      else for (let place = 0; place < bits.places; place++) add(bits.row(y, place), words, sums);
    }
    take(sums, into, share / bits.places);
  };
}

/** Adds the bits of every pair of pixels to its byte: pair p of a word to byte p >> 2 of `sums[p & 3]`, from the left. */
function addPairs(bits: Int32Array, words: number, sums: readonly Int32Array[]): void {
  const [a, b, c, d] = sums as [Int32Array, Int32Array, Int32Array, Int32Array];
  for (let w = 1; w <= words; w++) {
    const word = bits[w]!;
    if (word === 0) continue;
    const pairs = pairsOf(word);
    a[w] = a[w]! + ((pairs >>> 6) & 0x03030303);
    b[w] = b[w]! + ((pairs >>> 4) & 0x03030303);
    c[w] = c[w]! + ((pairs >>> 2) & 0x03030303);
    d[w] = d[w]! + (pairs & 0x03030303);
  }
}

/** Counts of set bits by pairs of pixels, a crumb of two bits each. */
const pairsOf = (word: number): number => (word & 0x55555555) + ((word >>> 1) & 0x55555555);

/** Adds four places at once: their sum at each pixel in binary digits, and then the digits' counts by their weights. */
function addFourPairs(
  p: Int32Array,
  q: Int32Array,
  r: Int32Array,
  s: Int32Array,
  words: number,
  sums: readonly Int32Array[],
): void {
  const [a, b, c, d] = sums as [Int32Array, Int32Array, Int32Array, Int32Array];
  for (let w = 1; w <= words; w++) {
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
      into[x++] = ((a[w]! >>> shift) & 255) * share;
      if (x < into.length) into[x++] = ((b[w]! >>> shift) & 255) * share;
      if (x < into.length) into[x++] = ((c[w]! >>> shift) & 255) * share;
      if (x < into.length) into[x++] = ((d[w]! >>> shift) & 255) * share;
    }
  }
}

/** Likewise for fours of pixels: four n of a word goes to byte n >> 1 of `sums[n & 1]`. */
function addNibbles(bits: Int32Array, words: number, sums: readonly Int32Array[]): void {
  const [a, b] = sums as [Int32Array, Int32Array];
  for (let w = 1; w <= words; w++) {
    const word = bits[w]!;
    if (word === 0) continue;
    const fours = nibblesOf(word);
    a[w] = a[w]! + ((fours >>> 4) & 0x0f0f0f0f);
    b[w] = b[w]! + (fours & 0x0f0f0f0f);
  }
}

/** Counts of set bits by fours of pixels, a nibble each. */
function nibblesOf(word: number): number {
  const pairs = pairsOf(word);
  return (pairs & 0x33333333) + ((pairs >>> 2) & 0x33333333);
}

function addFourNibbles(
  p: Int32Array,
  q: Int32Array,
  r: Int32Array,
  s: Int32Array,
  words: number,
  sums: readonly Int32Array[],
): void {
  const [a, b] = sums as [Int32Array, Int32Array];
  for (let w = 1; w <= words; w++) {
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
  for (let x = 0, w = 1; x < into.length; w++) {
    for (let shift = 24; shift >= 0 && x < into.length; shift -= 8) {
      into[x++] = ((a[w]! >>> shift) & 255) * share;
      if (x < into.length) into[x++] = ((b[w]! >>> shift) & 255) * share;
    }
  }
}
