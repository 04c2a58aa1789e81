/**
 * Discrete Fourier transform in place, of a sequence whose length is a power of two: re + i·im, unscaled,
 * exponent −2πi·jk/n. Cooley & Tukey, Math. Comp. 19 (1965) 297–301. For the inverse swap `re` and `im`, then divide by n.
 */
export type Fft = (re: Float64Array, im: Float64Array) => void;

/** Gets ready to transform sequences of n numbers; RangeError unless n is a power of two. */
export function openFft(n: number): Fft {
  if (n < 1 || (n & (n - 1)) !== 0) throw new RangeError(`a transform of ${n} numbers: only powers of two`);
  const cos = Float64Array.from({ length: n >> 1 }, (_, k) => Math.cos((2 * Math.PI * k) / n));
  const sin = Float64Array.from({ length: n >> 1 }, (_, k) => -Math.sin((2 * Math.PI * k) / n));
  const turned = new Uint32Array(n);
  for (let i = 1; i < n; i++) turned[i] = (turned[i >> 1]! >> 1) | (i & 1 ? n >> 1 : 0);

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
      for (let k = 0, at = 0; k < half; k++, at += step) {
        const c = cos[at]!;
        const s = sin[at]!;
        for (let i = k; i < n; i += 2 * half) {
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

/** The same in two dimensions, of a square of side² numbers, row by row. */
export function openFft2d(side: number): Fft {
  const fft = openFft(side);
  const lineRe = new Float64Array(side);
  const lineIm = new Float64Array(side);
  return (re, im) => {
    for (let y = 0; y < side; y++) {
      const from = y * side;
      fft(re.subarray(from, from + side), im.subarray(from, from + side));
    }
    for (let x = 0; x < side; x++) {
      for (let y = 0; y < side; y++) {
        lineRe[y] = re[y * side + x]!;
        lineIm[y] = im[y * side + x]!;
      }
      fft(lineRe, lineIm);
      for (let y = 0; y < side; y++) {
        re[y * side + x] = lineRe[y]!;
        im[y * side + x] = lineIm[y]!;
      }
    }
  };
}
