import { openFft } from '../../fft.ts';

/** What a filter leaves of a wave, by its frequency in cycles a pixel; the same in all directions. */
export interface RadialGain {
  readonly at: (frequency: number) => number;
  /** Waves finer than this are dropped unasked. */
  readonly highest: number;
}

/** Filters a square field in place; its edges wrap. */
export type RadialFilter = (field: Float64Array, gain: RadialGain) => void;

/**
 * Gets ready to filter square fields of `side`² real numbers, `side` a power of two. Two rows go through one transform, as
 * real and imaginary part, and only the half of the spectrum that a real field has, as far as the gain lets it
 * through, is kept: less than half the work of two plain transforms.
 */
export function openRadialFilter(side: number): RadialFilter {
  const fft = openFft(side);
  const half = side >> 1;
  const scale = 1 / (side * side);
  const re = new Float64Array(side);
  const im = new Float64Array(side);

  return (field, { at: gainAt, highest }) => {
    const last = Math.min(half, Math.floor(highest * side));
    // column by column, so that the second transform reads straight on
    const columnRe = new Float64Array((last + 1) * side);
    const columnIm = new Float64Array((last + 1) * side);
    for (let y = 0; y < side; y += 2) {
      re.set(field.subarray(y * side, (y + 1) * side));
      im.set(field.subarray((y + 1) * side, (y + 2) * side));
      fft(re, im);
      for (let k = 0; k <= last; k++) {
        const minus = (side - k) & (side - 1);
        const at = k * side + y;
        columnRe[at] = (re[k]! + re[minus]!) / 2;
        columnIm[at] = (im[k]! - im[minus]!) / 2;
        columnRe[at + 1] = (im[k]! + im[minus]!) / 2;
        columnIm[at + 1] = (re[minus]! - re[k]!) / 2;
      }
    }
    for (let k = 0; k <= last; k++) {
      const lineRe = columnRe.subarray(k * side, (k + 1) * side);
      const lineIm = columnIm.subarray(k * side, (k + 1) * side);
      fft(lineRe, lineIm);
      for (let j = 0; j <= half; j++) {
        const frequency = Math.sqrt(k * k + j * j) / side;
        const gain = frequency > highest ? 0 : gainAt(frequency) * scale;
        lineRe[j] = lineRe[j]! * gain;
        lineIm[j] = lineIm[j]! * gain;
        if (j === 0 || j === half) continue;
        lineRe[side - j] = lineRe[side - j]! * gain;
        lineIm[side - j] = lineIm[side - j]! * gain;
      }
      fft(lineIm, lineRe);
    }
    for (let y = 0; y < side; y += 2) {
      re.fill(0);
      im.fill(0);
      for (let k = 0; k <= last; k++) {
        const minus = (side - k) & (side - 1);
        const at = k * side + y;
        re[k] = columnRe[at]! - columnIm[at + 1]!;
        im[k] = columnIm[at]! + columnRe[at + 1]!;
        if (minus === k) continue;
        re[minus] = columnRe[at]! + columnIm[at + 1]!;
        im[minus] = columnRe[at + 1]! - columnIm[at]!;
      }
      fft(im, re);
      field.set(re, y * side);
      field.set(im, (y + 1) * side);
    }
  };
}
