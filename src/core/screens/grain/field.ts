import { rowStream } from '../../rng.ts';
import { openRadialFilter, type RadialGain } from './radial-filter.ts';

/** What the relief of a grain is made from. */
export interface FieldShape {
  /** A power of two. */
  readonly side: number;
  /** Wavelength that the spectrum has its peak at. */
  readonly periodPx: number;
  /** 0: an even labyrinth; 1: blots of many widths. */
  readonly irregularity: number;
  readonly seed: number;
  readonly plate: number;
}

/** Gains beyond so many standard deviations of a band are nothing: e^(−6). */
const BAND_ENDS = Math.sqrt(12);

/** A band of waves round one period; `width` is its standard deviation as a share of the frequency. */
function ring(periodPx: number, width: number): RadialGain {
  const middle = 1 / periodPx;
  const deviation = width * middle;
  return {
    at: (frequency) => {
      const u = (frequency - middle) / deviation;
      return Math.abs(u) > BAND_ENDS ? 0 : Math.exp((-u * u) / 2);
    },
    highest: middle + BAND_ENDS * deviation,
  };
}

/** Averages by a Gaussian of the given standard deviation. */
const blur = (sigmaPx: number): RadialGain => ({
  at: (frequency) => Math.exp(-2 * (Math.PI * sigmaPx * frequency) ** 2),
  highest: BAND_ENDS / (2 * Math.PI * sigmaPx),
});

/** Brings the standard deviation to 1; the mean is 0 already. */
function normalise(field: Float64Array): void {
  let sum = 0;
  for (let i = 0; i < field.length; i++) sum += field[i]! * field[i]!;
  const scale = 1 / Math.sqrt(sum / field.length);
  for (let i = 0; i < field.length; i++) field[i] = field[i]! * scale;
}

/**
 * Relief of a grain on a square whose edges wrap: below 0 is etched at half tone, the lowest places first. Noise
 * in a ring of the spectrum; pressed flat and passed through the ring once more, so that its ridges get even widths; and
 * lifted where more than half of the neighbourhood would be etched, so that half tone is half tone everywhere.
 */
export function grainField({ side, periodPx, irregularity, seed, plate }: FieldShape): Float64Array {
  const filter = openRadialFilter(side);
  const field = new Float64Array(side * side);
  for (let y = 0; y < side; y++) {
    const random = rowStream(seed, plate, y);
    for (let x = 0; x < side; x++) field[y * side + x] = random() / 2 ** 32 - 0.5;
  }
  filter(field, ring(periodPx, 0.25 + 0.1 * irregularity));
  normalise(field);

  if (irregularity < 1) {
    const even = new Float64Array(field.length);
    for (let i = 0; i < field.length; i++) even[i] = Math.tanh(1.5 * field[i]!);
    filter(even, ring(periodPx, 0.2));
    normalise(even);
    for (let i = 0; i < field.length; i++)
      field[i] = irregularity * field[i]! + (1 - irregularity) * even[i]!;
    normalise(field);
  }

  const etched = new Float64Array(field.length);
  for (let pass = 0; pass < 2; pass++) {
    for (let i = 0; i < field.length; i++) etched[i] = field[i]! < 0 ? 0.5 : -0.5;
    filter(etched, blur(0.9 * periodPx));
    for (let i = 0; i < field.length; i++) field[i] = field[i]! + 1.6 * etched[i]!;
  }
  return field;
}
