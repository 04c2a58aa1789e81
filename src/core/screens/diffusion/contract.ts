import type { ScreenRow } from '../contract.ts';

/** How a kernel is run. The published test bitmaps and the plates we make differ in these settings only. */
export interface DiffusionRun {
  readonly widthPx: number;
  /** Ink where tone and carried error together are above this. */
  readonly thresholdTone: number;
  /** Serpentine turns round on every odd row, counted from the top of the picture. */
  readonly scan: 'serpentine' | 'raster';
  /** Strength of every random part, 0 (none) … 1. */
  readonly noise: number;
  readonly seed: number;
  readonly plate: number;
  /** Row number of the first call; the seeded error row depends on it. */
  readonly firstRow: number;
}

/** The same weights for every tone, as shares of `divisor`; places are counted in the direction of scan. */
export interface Weights {
  readonly divisor: number;
  /** One and two pixels further on in this row. */
  readonly ahead: readonly [number, number];
  /** The next row, from two pixels behind to two pixels ahead. */
  readonly below: readonly [number, number, number, number, number];
  /** The row after that. */
  readonly twoBelow: readonly [number, number, number, number, number];
}

/** One way of handing on the error of a pixel to those not yet made. */
export interface DiffusionKernel {
  /** One line for `list kernels`. */
  readonly summary: string;
  /** Who published it, where and when. */
  readonly source: string;
  open(run: DiffusionRun): ScreenRow;
}
