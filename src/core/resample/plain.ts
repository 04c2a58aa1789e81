import { type AxisFilter, SIX, WEIGHT_BITS, WEIGHT_HALF } from './filter.ts';
import { type Passes, TONE_CENTRE } from './passes.ts';

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

/** The passes as plain loops: for engines that do not have the vector ones, and what those are held to. */
export function openPlain(sourcePx: number, across: AxisFilter, down: AxisFilter): Passes {
  const pad = across.taps;
  const outPx = across.start.length;
  const padded = new Int16Array(sourcePx + 2 * pad);
  const ring = Array.from({ length: down.taps }, () => new Int16Array(outPx));
  const window: Int16Array[] = ring.slice();
  const spare = down.taps === SIX ? 0 : outPx;
  const state: ManyState = {
    sum: new Int32Array(spare),
    lo: new Int16Array(spare),
    hi: new Int16Array(spare),
  };
  return {
    padded,
    at: pad,
    across(slot) {
      if (across.taps === SIX) sixAcross(padded, pad, across, ring[slot]!);
      else manyAcross(padded, pad, across, ring[slot]!);
    },
    down(row, slots, tone) {
      for (let t = 0; t < down.taps; t++) window[t] = ring[slots[t]!]!;
      if (down.taps === SIX) sixDown(window as unknown as SixRows, down.weights, row * SIX, tone);
      else manyDown(window, down, row, state, tone);
    },
  };
}
