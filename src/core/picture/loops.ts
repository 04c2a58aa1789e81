import type { Tile } from './tiles.ts';

/** How many pixels are neither paper nor solid nor on a ramp, are that and flat, or are on a ramp; the flat ones by bin of their tone too. */
export interface Judged {
  readonly mid: number;
  readonly flat: number;
  readonly ramp: number;
  readonly flatTones: Int32Array;
}

/** How tiles are counted and judged. */
export interface SharesLoops {
  /** How many pixels are in each of the 256 bins of tone. */
  histogram(tiles: readonly Tile[]): Int32Array;
  /** Pixels by the bins of the usual paper and solid. */
  judge(tiles: readonly Tile[], paper: number, solid: number): Judged;
}

/** A tile and the mean of its tones. */
export interface Measured {
  readonly tile: Tile;
  readonly mean: number;
}

/** A spectrum, and how it is gone through. */
export interface Spectrum {
  /** Frequency (u, v) is at `at(u, v)`. */
  readonly power: Float64Array;
  /** Of the numbers [from, to). */
  sum(from: number, to: number): number;
  /** Indices, in order, among which all peaks of the half plane v ≥ 0 are that stand out, for lobes so many bins wide to each side. */
  likely(lobe: number): Iterable<number>;
}

/** How tiles of one size are measured and transformed. */
export interface SpectrumLoops {
  /** Sums of a tile's tones and of their squares, exact. */
  sums(tile: Tile): { readonly sum: number; readonly squares: number };
  /** The sum of twice the power of all of them, each less its mean and under a Hann window, times `scale`; good until the next is asked for. */
  power(tiles: readonly Measured[], scale: number): Spectrum;
}

/** Of the pixels of a two-level picture: how many are specks, and how many are like the very first. */
export interface Specks {
  readonly specks: number;
  readonly alike: number;
}

/** What looking at a picture takes, one way or the other. */
export interface PictureLoops {
  readonly shares: SharesLoops;
  openSpectrum(of: Tile): SpectrumLoops;
  specks(tiles: readonly Tile[]): Specks;
}

/** A Hann window of so many weights, none of them 0. */
export const hann = (length: number): Float64Array =>
  Float64Array.from({ length }, (_, i) => 0.5 - 0.5 * Math.cos((2 * Math.PI * (i + 0.5)) / length));
