import type { AxisMap } from '../geometry.ts';

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
export const WEIGHT_BITS = 15;
const WEIGHT_ONE = 1 << WEIGHT_BITS;
/** Half of what weights add up to: added before the shift by `WEIGHT_BITS`, it rounds to the nearest. */
export const WEIGHT_HALF = WEIGHT_ONE >> 1;

/** Taps of a filter that does not reduce; its nearest two are always the third and the fourth. */
export const SIX = 2 * LOBES;

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
