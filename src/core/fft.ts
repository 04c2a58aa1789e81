import { lastMade } from './last-made.ts';

/**
 * Discrete Fourier transform in place, of a sequence whose length is a power of two: re + i·im, unscaled,
 * exponent −2πi·jk/n. Cooley & Tukey, Math. Comp. 19 (1965) 297–301. For the inverse swap `re` and `im`, then divide by n.
 */
export type Fft = (re: Float64Array, im: Float64Array) => void;

/** Half a turn of n steps, and each index with its bits the other way round. */
function tablesFor(n: number) {
  if (n < 1 || (n & (n - 1)) !== 0) throw new RangeError(`a transform of ${n} numbers: only powers of two`);
  const cos = Float64Array.from({ length: n >> 1 }, (_, k) => Math.cos((2 * Math.PI * k) / n));
  const sin = Float64Array.from({ length: n >> 1 }, (_, k) => -Math.sin((2 * Math.PI * k) / n));
  const turned = new Uint32Array(n);
  for (let i = 1; i < n; i++) turned[i] = (turned[i >> 1]! >> 1) | (i & 1 ? n >> 1 : 0);
  return { cos, sin, turned };
}

/** A power of four takes an even number of steps. */
const isOddPower = (n: number): boolean => (Math.clz32(n) & 1) === 0;

/** Gets ready to transform sequences of n numbers; RangeError unless n is a power of two. Two steps at a time, as memory costs more than sums. */
export function openFft(n: number): Fft {
  const { cos, sin, turned } = tablesFor(n);
  const single = isOddPower(n);

  return (re, im) => {
    for (let i = 0; i < n; i++) {
      const j = turned[i]!;
      if (j <= i) continue;
      const a = re[i]!;
      const b = im[i]!;
      re[i] = re[j]!;
      im[i] = im[j]!;
      re[j] = a;
      im[j] = b;
    }
    if (single)
      for (let i = 0; i < n; i += 2) {
        const x = re[i + 1]!;
        const y = im[i + 1]!;
        re[i + 1] = re[i]! - x;
        im[i + 1] = im[i]! - y;
        re[i]! += x;
        im[i]! += y;
      }
    for (let half = single ? 2 : 1; half < n; half <<= 2) {
      const step = n / (4 * half);
      for (let k = 0; k < half; k++) {
        const near = k * step;
        const far = near + half * step;
        const c1 = cos[2 * near]!;
        const s1 = sin[2 * near]!;
        const c2 = cos[near]!;
        const s2 = sin[near]!;
        const c3 = cos[far]!;
        const s3 = sin[far]!;
        for (let p = k; p < n; p += 4 * half) {
          const q = p + half;
          const r = q + half;
          const t = r + half;
          const qx = re[q]! * c1 - im[q]! * s1;
          const qy = re[q]! * s1 + im[q]! * c1;
          const tx = re[t]! * c1 - im[t]! * s1;
          const ty = re[t]! * s1 + im[t]! * c1;
          const px = re[p]! + qx;
          const py = im[p]! + qy;
          const mx = re[p]! - qx;
          const my = im[p]! - qy;
          const rx = re[r]! + tx;
          const ry = im[r]! + ty;
          const nx = re[r]! - tx;
          const ny = im[r]! - ty;
          const ux = rx * c2 - ry * s2;
          const uy = rx * s2 + ry * c2;
          const vx = nx * c3 - ny * s3;
          const vy = nx * s3 + ny * c3;
          re[p] = px + ux;
          im[p] = py + uy;
          re[r] = px - ux;
          im[r] = py - uy;
          re[q] = mx + vx;
          im[q] = my + vy;
          re[t] = mx - vx;
          im[t] = my - vy;
        }
      }
    }
  };
}

/** Columns transformed together, two lines of the cache. */
const STRIP = 16;

/**
 * The same in two dimensions, of a square of side² numbers, row by row; RangeError unless the side is a power of two. Those of
 * one side share their memory, so they are used one after the other.
 */
export const openFft2d = lastMade(makeFft2d, (side) => side);

function makeFft2d(side: number): Fft {
  const fft = openFft(side);
  const rowRe = new Float64Array(side);
  const rowIm = new Float64Array(side);
  const down = openColumns(side, Math.min(side, STRIP));
  return (re, im) => {
    for (let from = 0; from < side * side; from += side) {
      rowRe.set(re.subarray(from, from + side));
      rowIm.set(im.subarray(from, from + side));
      fft(rowRe, rowIm);
      re.set(rowRe, from);
      im.set(rowIm, from);
    }
    for (let left = 0; left < side; left += STRIP) down(re, im, left);
  };
}

/** Transforms `wide` columns of a square from the column `left` on, in memory of their own: as rows of a square lie, they would all share a few places of the cache. */
function openColumns(side: number, wide: number) {
  const { cos, sin, turned } = tablesFor(side);
  const single = isOddPower(side);
  const ownRe = new Float64Array(side * wide);
  const ownIm = new Float64Array(side * wide);
  return (re: Float64Array, im: Float64Array, left: number): void => {
    for (let y = 0; y < side; y++) {
      const to = turned[y]! * wide;
      const from = y * side + left;
      for (let x = 0; x < wide; x++) {
        ownRe[to + x] = re[from + x]!;
        ownIm[to + x] = im[from + x]!;
      }
    }
    if (single)
      for (let first = 0; first < side * wide; first += 2 * wide)
        for (let i = first; i < first + wide; i++) {
          const x = ownRe[i + wide]!;
          const y = ownIm[i + wide]!;
          ownRe[i + wide] = ownRe[i]! - x;
          ownIm[i + wide] = ownIm[i]! - y;
          ownRe[i]! += x;
          ownIm[i]! += y;
        }
    for (let half = single ? 2 : 1; half < side; half <<= 2) columnSteps(half);
    for (let y = 0; y < side; y++) {
      const from = y * wide;
      const to = y * side + left;
      for (let x = 0; x < wide; x++) {
        re[to + x] = ownRe[from + x]!;
        im[to + x] = ownIm[from + x]!;
      }
    }
  };

  function columnSteps(half: number): void {
    const step = side / (4 * half);
    const shift = half * wide;
    for (let y = 0; y < side; y++) {
      if ((y & (3 * half)) !== 0) continue;
      const near = (y & (half - 1)) * step;
      const far = near + half * step;
      const c1 = cos[2 * near]!;
      const s1 = sin[2 * near]!;
      const c2 = cos[near]!;
      const s2 = sin[near]!;
      const c3 = cos[far]!;
      const s3 = sin[far]!;
      for (let p = y * wide, end = p + wide; p < end; p++) {
        const q = p + shift;
        const r = q + shift;
        const t = r + shift;
        const qx = ownRe[q]! * c1 - ownIm[q]! * s1;
        const qy = ownRe[q]! * s1 + ownIm[q]! * c1;
        const tx = ownRe[t]! * c1 - ownIm[t]! * s1;
        const ty = ownRe[t]! * s1 + ownIm[t]! * c1;
        const px = ownRe[p]! + qx;
        const py = ownIm[p]! + qy;
        const mx = ownRe[p]! - qx;
        const my = ownIm[p]! - qy;
        const rx = ownRe[r]! + tx;
        const ry = ownIm[r]! + ty;
        const nx = ownRe[r]! - tx;
        const ny = ownIm[r]! - ty;
        const ux = rx * c2 - ry * s2;
        const uy = rx * s2 + ry * c2;
        const vx = nx * c3 - ny * s3;
        const vy = nx * s3 + ny * c3;
        ownRe[p] = px + ux;
        ownIm[p] = py + uy;
        ownRe[r] = px - ux;
        ownIm[r] = py - uy;
        ownRe[q] = mx + vx;
        ownIm[q] = my + vy;
        ownRe[t] = mx - vx;
        ownIm[t] = my - vy;
      }
    }
  }
}
