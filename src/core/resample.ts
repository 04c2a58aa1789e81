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

/** One axis' filter: `taps` weights for each output pixel, the first of them for source pixel `start`. */
export interface AxisFilter {
  readonly taps: number;
  readonly start: Int32Array;
  readonly weights: Float32Array;
  /** The taps [near0, near1) of each output pixel that lie nearest to it; their range bounds the result. */
  readonly near0: Uint16Array;
  readonly near1: Uint16Array;
}

/** Builds the filter of an axis; when reducing, the kernel widens with the step so that nothing aliases. */
export function axisFilter(map: AxisMap): AxisFilter {
  const { outPx, startPx, stepPx } = map;
  const stretch = Math.max(1, stepPx);
  const taps = Math.ceil(LOBES * stretch) * 2;
  const reach = Math.max(1, stepPx / 2);
  const start = new Int32Array(outPx);
  const weights = new Float32Array(outPx * taps);
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
    for (let k = 0; k < taps; k++) weights[i * taps + k] = exact[k]! / sum;
    near0[i] = from;
    near1[i] = to;
  }
  return { taps, start, weights, near0, near1 };
}

/** Where tone rows come from: row `y` of the source as ink tone 0…65535, written from `into[at]` on. */
export interface ToneSource {
  readonly widthPx: number;
  readonly heightPx: number;
  readRow(y: number, into: Float32Array, at: number): void;
}

/** One source row, padded with its edge pixels by `pad` on both sides, to one output row. */
function filterRow(row: Float32Array, pad: number, f: AxisFilter, out: Float32Array): void {
  const { taps, start, weights } = f;
  const n = out.length;
  if (taps === 6) {
    for (let x = 0, k = 0; x < n; x++, k += 6) {
      const p = start[x]! + pad;
      const a = row[p + 2]!;
      const b = row[p + 3]!;
      const v =
        row[p]! * weights[k]! +
        row[p + 1]! * weights[k + 1]! +
        a * weights[k + 2]! +
        b * weights[k + 3]! +
        row[p + 4]! * weights[k + 4]! +
        row[p + 5]! * weights[k + 5]!;
      out[x] = a < b ? (v < a ? a : v > b ? b : v) : v < b ? b : v > a ? a : v;
    }
    return;
  }
  const { near0, near1 } = f;
  for (let x = 0, k = 0; x < n; x++, k += taps) {
    const p = start[x]! + pad;
    let v = 0;
    for (let t = 0; t < taps; t++) v += row[p + t]! * weights[k + t]!;
    let lo = row[p + near0[x]!]!;
    let hi = lo;
    for (let t = near0[x]! + 1; t < near1[x]!; t++) {
      const s = row[p + t]!;
      if (s < lo) lo = s;
      else if (s > hi) hi = s;
    }
    out[x] = v < lo ? lo : v > hi ? hi : v;
  }
}

/** Six filtered rows to one tone row; kept apart from its caller so that it compiles to one plain loop. */
function blendSix(rows: readonly Float32Array[], w: Float32Array, k: number, tone: Uint16Array): void {
  const [r0, r1, r2, r3, r4, r5] = rows as [
    Float32Array,
    Float32Array,
    Float32Array,
    Float32Array,
    Float32Array,
    Float32Array,
  ];
  const w0 = w[k]!;
  const w1 = w[k + 1]!;
  const w2 = w[k + 2]!;
  const w3 = w[k + 3]!;
  const w4 = w[k + 4]!;
  const w5 = w[k + 5]!;
  for (let x = 0; x < tone.length; x++) {
    const a = r2[x]!;
    const b = r3[x]!;
    const v = r0[x]! * w0 + r1[x]! * w1 + a * w2 + b * w3 + r4[x]! * w4 + r5[x]! * w5;
    tone[x] = (a < b ? (v < a ? a : v > b ? b : v) : v < b ? b : v > a ? a : v) + 0.5;
  }
}

interface BlendState {
  readonly sum: Float32Array;
  readonly lo: Float32Array;
  readonly hi: Float32Array;
}

function blendMany(
  rows: readonly Float32Array[],
  f: AxisFilter,
  y: number,
  state: BlendState,
  tone: Uint16Array,
): void {
  const { sum, lo, hi } = state;
  const n = tone.length;
  sum.fill(0);
  for (let t = 0; t < f.taps; t++) {
    const row = rows[t]!;
    const w = f.weights[y * f.taps + t]!;
    for (let x = 0; x < n; x++) sum[x] = sum[x]! + row[x]! * w;
  }
  const from = f.near0[y]!;
  lo.set(rows[from]!);
  hi.set(rows[from]!);
  for (let t = from + 1; t < f.near1[y]!; t++) {
    const row = rows[t]!;
    for (let x = 0; x < n; x++) {
      const s = row[x]!;
      if (s < lo[x]!) lo[x] = s;
      else if (s > hi[x]!) hi[x] = s;
    }
  }
  for (let x = 0; x < n; x++) {
    const v = sum[x]!;
    tone[x] = (v < lo[x]! ? lo[x]! : v > hi[x]! ? hi[x]! : v) + 0.5;
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
  const padded = new Float32Array(source.widthPx + 2 * pad);
  // rows are kept under their number modulo the taps: a window of `taps` rows never meets itself there
  const ring = Array.from({ length: down.taps }, () => new Float32Array(x.outPx));
  const held = new Int32Array(down.taps).fill(-1);
  const window: Float32Array[] = ring.slice();
  const state: BlendState = {
    sum: new Float32Array(down.taps === 6 ? 0 : x.outPx),
    lo: new Float32Array(down.taps === 6 ? 0 : x.outPx),
    hi: new Float32Array(down.taps === 6 ? 0 : x.outPx),
  };
  const lastRow = source.heightPx - 1;

  const filtered = (sourceRow: number): Float32Array => {
    const slot = sourceRow % down.taps;
    const out = ring[slot]!;
    if (held[slot] !== sourceRow) {
      source.readRow(sourceRow, padded, pad);
      padded.fill(padded[pad]!, 0, pad);
      padded.fill(padded[pad + source.widthPx - 1]!, pad + source.widthPx);
      filterRow(padded, pad, across, out);
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
    if (down.taps === 6) blendSix(window, down.weights, row * 6, tone);
    else blendMany(window, down, row, state, tone);
  };
}
