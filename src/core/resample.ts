import type { AxisMap } from './geometry.ts';

const LOBES = 3;

/** Lanczos kernel with three lobes (C. Lanczos; Duchon 1979): sinc(x) · sinc(x/3) inside |x| < 3. */
function lanczos(x: number): number {
  const a = Math.abs(x);
  if (a >= LOBES) return 0;
  // whole numbers are exact zeros, so that a picture that is not resized passes through untouched
  if (Number.isInteger(a)) return a === 0 ? 1 : 0;
  const p = Math.PI * a;
  return (LOBES * Math.sin(p) * Math.sin(p / LOBES)) / (p * p);
}

/** Weights are whole multiples of 1/32768, and those of one output pixel add up to exactly that. */
const WEIGHT_BITS = 15;
const WEIGHT_ONE = 1 << WEIGHT_BITS;
const WEIGHT_HALF = WEIGHT_ONE >> 1;

/** Taps of a filter that does not reduce; it has a fast path of its own. */
const SIX = 2 * LOBES;

/** One axis' filter: `taps` weights (in 1/32768) for each output pixel, the first of them for source pixel `start`. */
export interface AxisFilter {
  readonly taps: number;
  readonly start: Int32Array;
  readonly weights: Int32Array;
  /** The taps [near0, near1) of each output pixel that lie nearest to it; their range bounds the result. */
  readonly near0: Uint16Array;
  readonly near1: Uint16Array;
}

/** Builds the filter of an axis; when reducing, the kernel widens with the step so that nothing aliases. */
export function axisFilter(map: AxisMap): AxisFilter {
  const { outPx, startPx, stepPx } = map;
  const stretch = Math.max(1, stepPx);
  const needed = Math.ceil(LOBES * stretch) * 2;
  // loops take four taps at a time
  const taps = needed === SIX ? SIX : Math.ceil(needed / 4) * 4;
  const reach = Math.max(1, stepPx / 2);
  const start = new Int32Array(outPx);
  const weights = new Int32Array(outPx * taps);
  const near0 = new Uint16Array(outPx);
  const near1 = new Uint16Array(outPx);
  const exact = new Float64Array(taps);
  for (let i = 0; i < outPx; i++) {
    const centre = startPx + (i + 0.5) * stepPx - 0.5;
    const first = Math.floor(centre + 1e-9) - taps / 2 + 1;
    start[i] = first;
    let sum = 0;
    let from = taps;
    let to = 0;
    for (let k = 0; k < taps; k++) {
      const distance = first + k - centre;
      // a step of exactly 1 lands within rounding of whole pixels
      const x = distance / stretch;
      const w = lanczos(Math.abs(x - Math.round(x)) < 1e-7 ? Math.round(x) : x);
      exact[k] = w;
      sum += w;
      if (Math.abs(distance) < reach + 1e-7) {
        if (k < from) from = k;
        to = k + 1;
      }
    }
    // rounding the running sum keeps the total exact and hands each rounding error to the next tap
    let running = 0;
    let spent = 0;
    for (let k = 0; k < taps; k++) {
      running += (exact[k]! / sum) * WEIGHT_ONE;
      const w = Math.round(running) - spent;
      weights[i * taps + k] = w;
      spent += w;
    }
    near0[i] = from;
    near1[i] = to;
  }
  return { taps, start, weights, near0, near1 };
}

/** What centred tones are below tones: rows inside the filter run −32768 … 32767, so that sums fit 32 bits. */
export const TONE_CENTRE = 32768;

/** Where tone rows come from: row `y` of the source as ink tone less `TONE_CENTRE`, from `into[at]` on. */
export interface ToneSource {
  readonly widthPx: number;
  readonly heightPx: number;
  readRow(y: number, into: Int16Array, at: number): void;
}

/**
 * One source row, padded with its edge pixels by `pad` on both sides, to one output row, six taps. Clamped without
 * a branch, since on noise every second branch is guessed wrong: x & (x >> 31) is x where negative, else 0.
 */
function sixAcross(row: Int16Array, pad: number, f: AxisFilter, out: Int16Array): void {
  const { start, weights } = f;
  for (let x = 0, k = 0; x < out.length; x++, k += 6) {
    const p = start[x]! + pad;
    const a = row[p + 2]!;
    const b = row[p + 3]!;
    const sum =
      Math.imul(row[p]!, weights[k]!) +
      Math.imul(row[p + 1]!, weights[k + 1]!) +
      Math.imul(a, weights[k + 2]!) +
      Math.imul(b, weights[k + 3]!) +
      Math.imul(row[p + 4]!, weights[k + 4]!) +
      Math.imul(row[p + 5]!, weights[k + 5]!);
    const v = (sum + WEIGHT_HALF) >> WEIGHT_BITS;
    const fall = (a - b) & ((a - b) >> 31);
    const lo = b + fall;
    const hi = a - fall;
    const capped = hi + ((v - hi) & ((v - hi) >> 31));
    out[x] = capped - ((capped - lo) & ((capped - lo) >> 31));
  }
}

/** As `sixAcross` for a picture that is reduced: more taps, a multiple of four, and more near pixels. */
function manyAcross(row: Int16Array, pad: number, f: AxisFilter, out: Int16Array): void {
  const { taps, start, weights, near0, near1 } = f;
  for (let x = 0, k = 0; x < out.length; x++, k += taps) {
    const p = start[x]! + pad;
    let sum = WEIGHT_HALF;
    for (let t = 0; t < taps; t += 4)
      sum +=
        Math.imul(row[p + t]!, weights[k + t]!) +
        Math.imul(row[p + t + 1]!, weights[k + t + 1]!) +
        Math.imul(row[p + t + 2]!, weights[k + t + 2]!) +
        Math.imul(row[p + t + 3]!, weights[k + t + 3]!);
    const v = sum >> WEIGHT_BITS;
    const last = p + near1[x]!;
    let lo = row[p + near0[x]!]!;
    let hi = lo;
    for (let i = p + near0[x]! + 1; i < last; i++) {
      const s = row[i]!;
      lo += (s - lo) & ((s - lo) >> 31);
      hi -= (hi - s) & ((hi - s) >> 31);
    }
    const capped = hi + ((v - hi) & ((v - hi) >> 31));
    out[x] = capped - ((capped - lo) & ((capped - lo) >> 31));
  }
}

type SixRows = readonly [Int16Array, Int16Array, Int16Array, Int16Array, Int16Array, Int16Array];

/** Six filtered rows to one tone row; kept apart from its caller so that it compiles to one plain loop. */
function sixDown(rows: SixRows, weights: Int32Array, k: number, tone: Uint16Array): void {
  const [r0, r1, r2, r3, r4, r5] = rows;
  const w0 = weights[k]!;
  const w1 = weights[k + 1]!;
  const w2 = weights[k + 2]!;
  const w3 = weights[k + 3]!;
  const w4 = weights[k + 4]!;
  const w5 = weights[k + 5]!;
  for (let x = 0; x < tone.length; x++) {
    const a = r2[x]!;
    const b = r3[x]!;
    const sum =
      Math.imul(r0[x]!, w0) +
      Math.imul(r1[x]!, w1) +
      Math.imul(a, w2) +
      Math.imul(b, w3) +
      Math.imul(r4[x]!, w4) +
      Math.imul(r5[x]!, w5);
    const v = (sum + WEIGHT_HALF) >> WEIGHT_BITS;
    const fall = (a - b) & ((a - b) >> 31);
    const lo = b + fall;
    const hi = a - fall;
    const capped = hi + ((v - hi) & ((v - hi) >> 31));
    tone[x] = capped - ((capped - lo) & ((capped - lo) >> 31)) + TONE_CENTRE;
  }
}

interface ManyState {
  readonly sum: Int32Array;
  readonly lo: Int16Array;
  readonly hi: Int16Array;
}

/** Adds rows t … t + 3, weighted, four at a time: each pass over the sums costs as much as the rows it adds. */
function addFour(
  sum: Int32Array,
  rows: readonly Int16Array[],
  t: number,
  weights: Int32Array,
  k: number,
): void {
  const r0 = rows[t]!;
  const r1 = rows[t + 1]!;
  const r2 = rows[t + 2]!;
  const r3 = rows[t + 3]!;
  const w0 = weights[k]!;
  const w1 = weights[k + 1]!;
  const w2 = weights[k + 2]!;
  const w3 = weights[k + 3]!;
  for (let x = 0; x < sum.length; x++)
    sum[x] =
      sum[x]! + Math.imul(r0[x]!, w0) + Math.imul(r1[x]!, w1) + Math.imul(r2[x]!, w2) + Math.imul(r3[x]!, w3);
}

/** Widens the range lo … hi of each column by one more row. */
function widen(lo: Int16Array, hi: Int16Array, row: Int16Array): void {
  for (let x = 0; x < row.length; x++) {
    const s = row[x]!;
    const below = s - lo[x]!;
    const above = hi[x]! - s;
    lo[x] = lo[x]! + (below & (below >> 31));
    hi[x] = hi[x]! - (above & (above >> 31));
  }
}

function manyDown(
  rows: readonly Int16Array[],
  f: AxisFilter,
  y: number,
  state: ManyState,
  tone: Uint16Array,
): void {
  const { sum, lo, hi } = state;
  sum.fill(WEIGHT_HALF);
  for (let t = 0; t < f.taps; t += 4) addFour(sum, rows, t, f.weights, y * f.taps + t);
  const from = f.near0[y]!;
  lo.set(rows[from]!);
  hi.set(rows[from]!);
  for (let t = from + 1; t < f.near1[y]!; t++) widen(lo, hi, rows[t]!);
  for (let x = 0; x < tone.length; x++) {
    const v = sum[x]! >> WEIGHT_BITS;
    const over = v - hi[x]!;
    const capped = hi[x]! + (over & (over >> 31));
    const under = capped - lo[x]!;
    tone[x] = capped - (under & (under >> 31)) + TONE_CENTRE;
  }
}

/**
 * Opens a resampler: give it an output row number (rising, repeats allowed) and it fills `tone` with
 * that row, 16 bit. Separable Lanczos 3, pixel centre to pixel centre, widened when reducing, and each
 * pass clamped to the range of the source pixels nearest to the output pixel, so that flat white gets no
 * ghosts: a negative lobe beside a dark edge would otherwise be screened into stray dots.
 */
export function openResampler(
  source: ToneSource,
  x: AxisMap,
  y: AxisMap,
): (row: number, tone: Uint16Array) => void {
  const across = axisFilter(x);
  const down = axisFilter(y);
  const pad = across.taps;
  const padded = new Int16Array(source.widthPx + 2 * pad);
  // rows are kept under their number modulo the taps: a window of `taps` rows never meets itself there
  const ring = Array.from({ length: down.taps }, () => new Int16Array(x.outPx));
  const held = new Int32Array(down.taps).fill(-1);
  const window: Int16Array[] = ring.slice();
  const spare = down.taps === SIX ? 0 : x.outPx;
  const state: ManyState = {
    sum: new Int32Array(spare),
    lo: new Int16Array(spare),
    hi: new Int16Array(spare),
  };
  const lastRow = source.heightPx - 1;

  const filtered = (sourceRow: number): Int16Array => {
    const slot = sourceRow % down.taps;
    const out = ring[slot]!;
    if (held[slot] !== sourceRow) {
      source.readRow(sourceRow, padded, pad);
      padded.fill(padded[pad]!, 0, pad);
      padded.fill(padded[pad + source.widthPx - 1]!, pad + source.widthPx);
      if (across.taps === SIX) sixAcross(padded, pad, across, out);
      else manyAcross(padded, pad, across, out);
      held[slot] = sourceRow;
    }
    return out;
  };

  return (row, tone) => {
    const first = down.start[row]!;
    for (let t = 0; t < down.taps; t++) {
      const wanted = first + t;
      window[t] = filtered(wanted < 0 ? 0 : wanted > lastRow ? lastRow : wanted);
    }
    if (down.taps === SIX) sixDown(window as unknown as SixRows, down.weights, row * SIX, tone);
    else manyDown(window, down, row, state, tone);
  };
}
