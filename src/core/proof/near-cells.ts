import type { Bitmap } from '../bitmap.ts';
import { lastMade } from '../last-made.ts';
import { pixelUnits } from '../spot/near.ts';
import { type SpotShape, spotRegions } from '../spot/regions.ts';
import { UNITS_PER_PX } from '../spot/units.ts';
import { readRowWords, wordsFor } from '../spot/words.ts';
import type { CellSide, CellSums } from './cell-sums.ts';

/** What marks that reach no farther than the next pixel etch, in whole units. */
interface Tables {
  /** Of the middle of 3 × 3 pixels, by their 512 states. */
  readonly pixel: Int32Array;
  /** Of the middle four of 4 × 4 pixels, by their 65,536 states; the top left is the highest bit. */
  readonly four: Int32Array;
}

const tablesFor = lastMade(
  (shape: SpotShape): Tables => {
    const pixel = pixelUnits(spotRegions(shape));
    return { pixel, four: fourUnits(pixel) };
  },
  ({ spotPx, beam }) => `${spotPx} ${beam}`,
);

function fourUnits(pixel: Int32Array): Int32Array {
  // two pixels one above the other, by four rows of three: half of a cell each
  const upright = new Int32Array(1 << 12);
  for (let state = 0; state < upright.length; state++)
    upright[state] = pixel[state >>> 3]! + pixel[state & 511]!;
  const four = new Int32Array(1 << 16);
  for (let state = 0; state < four.length; state++) {
    const left =
      ((state >>> 4) & 0xe00) | ((state >>> 3) & 0x1c0) | ((state >>> 2) & 0x38) | ((state >>> 1) & 7);
    const right = ((state >>> 3) & 0xe00) | ((state >>> 2) & 0x1c0) | ((state >>> 1) & 0x38) | (state & 7);
    four[state] = upright[left]! + upright[right]!;
  }
  return four;
}

/**
 * Sums over cells for marks that reach no farther than the next pixel: exact, four pixels for each look into a table of
 * 4 × 4 pixels. Measured: a seventh of the time of looking each pixel up by itself (cells of two pixels a side: a fifth).
 */
export function nearSums(map: Bitmap, shape: SpotShape, side: CellSide): CellSums {
  const { pixel, four } = tablesFor(shape);
  const { widthPx } = map;
  const words = wordsFor(widthPx);
  const whole = Math.floor(widthPx / side);
  const units = new Int32Array(words * (32 / side));
  const held = new Int32Array(side + 2).fill(-2);
  const kept = Array.from(held, () => new Int32Array(words + 2));
  const row = (y: number): Int32Array => {
    const slot = (y + 1) % held.length;
    if (held[slot] !== y) {
      readRowWords(map, y, kept[slot]!);
      held[slot] = y;
    }
    return kept[slot]!;
  };
  return (from, to, share, into) => {
    const perUnit = share / UNITS_PER_PX;
    // what stands out over the plate's edge is etched by marks beside it, and does not count
    const exact = to - from === side ? whole : 0;
    if (exact > 0) {
      units.fill(0);
      for (let y = from; y < to; y += 2)
        addUnits(four, row(y - 1), row(y), row(y + 1), row(y + 2), side, units);
      for (let i = 0; i < exact; i++) into[i] = units[i]! * perUnit;
    }
    for (let i = exact; i < into.length; i++) {
      let sum = 0;
      for (let y = from; y < to; y++)
        for (let x = i * side; x < Math.min(widthPx, (i + 1) * side); x++) sum += pixel[stateAt(map, x, y)]!;
      into[i] = sum * perUnit;
    }
  };
}

/** Adds what is etched of the rows of words `b` and `c`, which lie between `a` and `d`, to the cells it lies in. */
function addUnits(
  four: Int32Array,
  a: Int32Array,
  b: Int32Array,
  c: Int32Array,
  d: Int32Array,
  side: CellSide,
  units: Int32Array,
): void {
  const solid = four[0xffff]!;
  // twos of pixels that begin at multiples of four, and those between them, go to one cell or to neighbours
  const step = side === 2 ? 2 : 1;
  const cells = 32 / side;
  for (let w = 1, at = 0; at < units.length; w++, at += cells) {
    const a0 = (a[w - 1]! << 31) | (a[w]! >>> 1);
    const b0 = (b[w - 1]! << 31) | (b[w]! >>> 1);
    const c0 = (c[w - 1]! << 31) | (c[w]! >>> 1);
    const d0 = (d[w - 1]! << 31) | (d[w]! >>> 1);
    const a1 = (a[w]! << 1) | (a[w + 1]! >>> 31);
    const b1 = (b[w]! << 1) | (b[w + 1]! >>> 31);
    const c1 = (c[w]! << 1) | (c[w + 1]! >>> 31);
    const d1 = (d[w]! << 1) | (d[w + 1]! >>> 31);
    if ((a0 | b0 | c0 | d0 | a1 | b1 | c1 | d1) === 0) continue;
    if ((a0 & b0 & c0 & d0 & a1 & b1 & c1 & d1) === -1) {
      for (let i = at; i < at + cells; i++) units[i] = units[i]! + solid * (3 - step);
      continue;
    }
    addEight(four, a0, b0, c0, d0, units, at, step);
    addEight(four, a1, b1, c1, d1, units, at + step - 1, step);
  }
}

/** Four words are eight squares of 4 × 4 pixels side by side; what is etched in the middle of each goes to every `step`-th cell from `at` on. */
function addEight(
  four: Int32Array,
  a: number,
  b: number,
  c: number,
  d: number,
  units: Int32Array,
  at: number,
  step: number,
): void {
  // rows in pairs, a byte for each square: the even ones, the odd ones
  const evenTop = (a & 0xf0f0f0f0) | ((b >>> 4) & 0x0f0f0f0f);
  const evenLow = (c & 0xf0f0f0f0) | ((d >>> 4) & 0x0f0f0f0f);
  const oddTop = ((a << 4) & 0xf0f0f0f0) | (b & 0x0f0f0f0f);
  const oddLow = ((c << 4) & 0xf0f0f0f0) | (d & 0x0f0f0f0f);
  const s04 = (evenTop & 0xff00ff00) | ((evenLow >>> 8) & 0x00ff00ff);
  const s26 = ((evenTop << 8) & 0xff00ff00) | (evenLow & 0x00ff00ff);
  const s15 = (oddTop & 0xff00ff00) | ((oddLow >>> 8) & 0x00ff00ff);
  const s37 = ((oddTop << 8) & 0xff00ff00) | (oddLow & 0x00ff00ff);
  units[at] = units[at]! + four[s04 >>> 16]!;
  units[at + step] = units[at + step]! + four[s15 >>> 16]!;
  units[at + 2 * step] = units[at + 2 * step]! + four[s26 >>> 16]!;
  units[at + 3 * step] = units[at + 3 * step]! + four[s37 >>> 16]!;
  units[at + 4 * step] = units[at + 4 * step]! + four[s04 & 0xffff]!;
  units[at + 5 * step] = units[at + 5 * step]! + four[s15 & 0xffff]!;
  units[at + 6 * step] = units[at + 6 * step]! + four[s26 & 0xffff]!;
  units[at + 7 * step] = units[at + 7 * step]! + four[s37 & 0xffff]!;
}

/** The nine pixels about one, as bits; those off the plate are 0. */
function stateAt({ data, strideBytes, widthPx, heightPx }: Bitmap, x: number, y: number): number {
  let state = 0;
  for (let v = y - 1; v <= y + 1; v++)
    for (let u = x - 1; u <= x + 1; u++) {
      const inside = u >= 0 && u < widthPx && v >= 0 && v < heightPx;
      const bit = inside ? (data[v * strideBytes + (u >> 3)]! >> (7 - (u & 7))) & 1 : 0;
      state = (state << 1) | bit;
    }
  return state;
}
