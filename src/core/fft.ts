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

/** Gets ready to transform sequences of n numbers; RangeError unless n is a power of two. */
export function openFft(n: number): Fft {
  const { cos, sin, turned } = tablesFor(n);

  return (re, im) => {
    for (let i = 0; i < n; i++) {
      const j = turned[i]!;
      if (j <= i) continue;
      const [a, b] = [re[i]!, im[i]!];
      re[i] = re[j]!;
      im[i] = im[j]!;
      re[j] = a;
      im[j] = b;
    }
    for (let half = 1; half < n; half <<= 1) {
      const step = n / (2 * half);
      for (let first = 0; first < n; first += 2 * half) {
        for (let i = first, at = 0; i < first + half; i++, at += step) {
          const c = cos[at]!;
          const s = sin[at]!;
          const j = i + half;
          const x = re[j]! * c - im[j]! * s;
          const y = re[j]! * s + im[j]! * c;
          re[j] = re[i]! - x;
          im[j] = im[i]! - y;
          re[i] = re[i]! + x;
          im[i] = im[i]! + y;
        }
      }
    }
  };
}

/** Columns transformed together: a strip of them stays in the nearest memory. */
const STRIP = 16;

/** The same in two dimensions, of a square of side² numbers, row by row. */
export function openFft2d(side: number): Fft {
  const fft = openFft(side);
  const down = openColumns(side);
  return (re, im) => {
    for (let from = 0; from < side * side; from += side)
      fft(re.subarray(from, from + side), im.subarray(from, from + side));
    for (let left = 0; left < side; left += STRIP) down(re, im, left, Math.min(side, left + STRIP));
  };
}

/** Transforms the columns [left, right) of a square, each step of the transform on all of them before the next. */
function openColumns(side: number) {
  const { cos, sin, turned } = tablesFor(side);
  return (re: Float64Array, im: Float64Array, left: number, right: number): void => {
    for (let y = 0; y < side; y++) {
      const other = turned[y]!;
      if (other <= y) continue;
      const shift = (other - y) * side;
      for (let i = y * side + left; i < y * side + right; i++) {
        const a = re[i]!;
        const b = im[i]!;
        re[i] = re[i + shift]!;
        im[i] = im[i + shift]!;
        re[i + shift] = a;
        im[i + shift] = b;
      }
    }
    for (let half = 1; half < side; half <<= 1) {
      const step = side / (2 * half);
      const shift = half * side;
      for (let y = 0; y < side; y++) {
        if ((y & half) !== 0) continue;
        const c = cos[(y & (half - 1)) * step]!;
        const s = sin[(y & (half - 1)) * step]!;
        for (let i = y * side + left; i < y * side + right; i++) {
          const j = i + shift;
          const u = re[j]! * c - im[j]! * s;
          const v = re[j]! * s + im[j]! * c;
          re[j] = re[i]! - u;
          im[j] = im[i]! - v;
          re[i] = re[i]! + u;
          im[i] = im[i]! + v;
        }
      }
    }
  };
}
