import type { Tile } from './tiles.ts';

/** How tiles are measured and transformed, one way or the other. All are of one size. */
export interface SpectrumLoops {
  /** Sums of a tile's tones and of their squares, exact. */
  sums(tile: Tile): { readonly sum: number; readonly squares: number };
  /** Adds |Z|² of two tiles, one as the real part and one as the imaginary one, or of one alone; each less its mean. */
  add(one: Measured, other: Measured | null): void;
  /** The sum of what was added at each frequency and at its negative, times `scale`; as `powerSpectrum` has it. */
  power(scale: number): Float64Array;
}

/** A tile and the mean of its tones. */
export interface Measured {
  readonly tile: Tile;
  readonly mean: number;
}

/** A Hann window of so many weights, none of them 0. */
export const hann = (length: number): Float64Array =>
  Float64Array.from({ length }, (_, i) => 0.5 - 0.5 * Math.cos((2 * Math.PI * (i + 0.5)) / length));
