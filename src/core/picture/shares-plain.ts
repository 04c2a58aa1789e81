import {
  BINS,
  FLAT,
  LEAST_TONE,
  MOST_TONE,
  NEAR_PAPER,
  NEAR_SOLID,
  RAMP,
  REACH_PX,
  STEEP,
  STRIDE,
} from './judging.ts';
import type { Judged, SharesLoops } from './loops.ts';
import type { Tile } from './tiles.ts';

/** The bin, 0 … 255, of a tone as tiles have it. */
const binOf = (tone: number): number => (tone >> 8) + BINS / 2;

function histogramOf(tiles: readonly Tile[]): Int32Array {
  // by turns in two tables: neighbours are alike, and one count would wait for the other
  const counts = new Int32Array(BINS);
  const others = new Int32Array(BINS);
  for (const { tone } of tiles) {
    const even = tone.length & ~1;
    for (let i = 0; i < even; i += 2) {
      counts[binOf(tone[i]!)]! += 1;
      others[binOf(tone[i + 1]!)]! += 1;
    }
    if (even < tone.length) counts[binOf(tone[even]!)]! += 1;
  }
  for (let bin = 0; bin < BINS; bin++) counts[bin]! += others[bin]!;
  return counts;
}

/** Least and most tone of two rows together, column by column. */
interface RowPair {
  index: number;
  readonly lows: Int16Array;
  readonly highs: Int16Array;
}

/* Lesser and greater of two without a branch, as noise would make each one a guess. */
const lesser = (a: number, b: number): number => b + ((a - b) & ((a - b) >> 31));
const greater = (a: number, b: number): number => a - ((a - b) & ((a - b) >> 31));

/**
 * Least and most tone of the square round every second pixel of every second row: seven rows are one and three pairs of rows, and
 * each pair serves three squares; columns likewise. Columns are worked out as they are asked for.
 */
interface Range {
  readonly tile: Tile;
  readonly columns: number;
  readonly rowPairs: readonly RowPair[];
  readonly pairLows: Int16Array;
  readonly pairHighs: Int16Array;
  readonly oddLows: Int16Array;
  readonly oddHighs: Int16Array;
  upper: RowPair;
  here: RowPair;
  lower: RowPair;
  /** Index of the topmost row's first pixel. */
  top: number;
  /** The next column to be worked out. */
  next: number;
  /** The answer. */
  low: number;
  high: number;
}

function openRange(tile: Tile): Range {
  const { widthPx } = tile;
  const rowPairs = Array.from(
    { length: 4 },
    (): RowPair => ({ index: -1, lows: new Int16Array(widthPx), highs: new Int16Array(widthPx) }),
  );
  const columns = (widthPx + 1) >> 1;
  // two columns in front and one behind that count for nothing
  const room = columns + 3;
  const [upper, here, lower] = rowPairs as [RowPair, RowPair, RowPair, RowPair];
  // one plain literal: the engine forgets what it has compiled for objects put together, once there are none
  return {
    tile,
    columns,
    rowPairs,
    upper,
    here,
    lower,
    top: 0,
    next: 0,
    low: 0,
    high: 0,
    pairLows: new Int16Array(room).fill(MOST_TONE),
    pairHighs: new Int16Array(room).fill(LEAST_TONE),
    oddLows: new Int16Array(room).fill(MOST_TONE),
    oddHighs: new Int16Array(room).fill(LEAST_TONE),
  };
}

function rowPair({ tile: { widthPx, heightPx, tone }, rowPairs }: Range, wanted: number): RowPair {
  const lastPair = (heightPx - 1) >> 1;
  const index = Math.min(lastPair, Math.max(0, wanted));
  const pair = rowPairs[index & 3]!;
  if (pair.index === index) return pair;
  pair.index = index;
  const { lows, highs } = pair;
  const first = 2 * index * widthPx;
  const second = Math.min(heightPx - 1, 2 * index + 1) * widthPx;
  for (let x = 0; x < widthPx; x++) {
    const a = tone[first + x]!;
    const b = tone[second + x]!;
    lows[x] = lesser(a, b);
    highs[x] = greater(a, b);
  }
  return pair;
}

/** Gets ready for the pixels of row y, which is even. */
function startRow(range: Range, y: number): void {
  range.upper = rowPair(range, (y >> 1) - 1);
  range.here = rowPair(range, y >> 1);
  range.lower = rowPair(range, (y >> 1) + 1);
  range.top = Math.max(0, y - REACH_PX) * range.tile.widthPx;
  range.next = 0;
}

/** Works out the columns [from, to). */
function workOut(range: Range, from: number, to: number): void {
  const { widthPx, tone } = range.tile;
  const { top, oddLows, oddHighs, pairLows, pairHighs } = range;
  const { lows: lows0, highs: highs0 } = range.upper;
  const { lows: lows1, highs: highs1 } = range.here;
  const { lows: lows2, highs: highs2 } = range.lower;
  for (let k = from; k < to; k++) {
    const x = 2 * k;
    const odd = x + 1 < widthPx ? x + 1 : x;
    const even = tone[top + x]!;
    const low = lesser(lesser(even, lows0[x]!), lesser(lows1[x]!, lows2[x]!));
    const high = greater(greater(even, highs0[x]!), greater(highs1[x]!, highs2[x]!));
    const beside = tone[top + odd]!;
    const oddLow = lesser(lesser(beside, lows0[odd]!), lesser(lows1[odd]!, lows2[odd]!));
    const oddHigh = greater(greater(beside, highs0[odd]!), greater(highs1[odd]!, highs2[odd]!));
    oddLows[k + 2] = oddLow;
    oddHighs[k + 2] = oddHigh;
    pairLows[k + 2] = lesser(low, oddLow);
    pairHighs[k + 2] = greater(high, oddHigh);
  }
}

/** Sets `low` and `high` for pixel x of that row, which is even too; pixels in order. */
function askAt(range: Range, x: number): void {
  const k = x >> 1;
  const { next, columns, oddLows, oddHighs, pairLows, pairHighs } = range;
  if (next < k + 2) {
    workOut(range, Math.max(0, next, k - 2), Math.min(columns, k + 2));
    range.next = k + 2;
  }
  range.low = lesser(lesser(oddLows[k]!, pairLows[k + 1]!), lesser(pairLows[k + 2]!, pairLows[k + 3]!));
  range.high = greater(
    greater(oddHighs[k]!, pairHighs[k + 1]!),
    greater(pairHighs[k + 2]!, pairHighs[k + 3]!),
  );
}

const PAPER = 1;
const SOLID = 2;

/** Which bins are near paper, and which near solid. */
const endBins = (paper: number, solid: number): Uint8Array =>
  Uint8Array.from(
    { length: BINS },
    (_, bin) =>
      (Math.abs(bin - paper) <= NEAR_PAPER ? PAPER : 0) | (Math.abs(bin - solid) <= NEAR_SOLID ? SOLID : 0),
  );

const [MID, FLAT_MID, ON_RAMP] = [0, 1, 2] as const;

/** Adds the pixels of row y to the sums of mid pixels, of those that are flat (by tone too) and of those on ramps. */
function judgeRow(around: Range, y: number, ends: Uint8Array, sums: Int32Array, flatTones: Int32Array): void {
  const { widthPx, tone } = around.tile;
  let ready = false;
  for (let x = 0; x < widthPx; x += STRIDE) {
    const here = binOf(tone[y * widthPx + x]!);
    if (ends[here] !== 0) continue;
    if (!ready) startRow(around, y);
    ready = true;
    askAt(around, x);
    const { low, high } = around;
    const range = high - low;
    const reaches = (ends[binOf(low)]! & PAPER) | (ends[binOf(high)]! & SOLID);
    if (range >= STEEP || (range >= RAMP && reaches !== 0)) {
      sums[ON_RAMP]! += 1;
      continue;
    }
    sums[MID]! += 1;
    if (range > FLAT) continue;
    sums[FLAT_MID]! += 1;
    flatTones[here]! += 1;
  }
}

/** For engines without WebAssembly, and what that is held to. */
export const plainShares: SharesLoops = { histogram: histogramOf, judge: judgeTiles };

function judgeTiles(tiles: readonly Tile[], paper: number, solid: number): Judged {
  const ends = endBins(paper, solid);
  const flatTones = new Int32Array(BINS);
  const sums = new Int32Array(3);
  for (const tile of tiles) {
    const around = openRange(tile);
    for (let y = 0; y < tile.heightPx; y += STRIDE) judgeRow(around, y, ends, sums, flatTones);
  }
  const [mid, flat, ramp] = sums as unknown as [number, number, number];
  return { mid, flat, ramp, flatTones };
}
