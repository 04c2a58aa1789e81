import type { ScreenRow } from '../contract.ts';

/** How a kernel is run. The published test bitmaps and the plates we make differ in these settings only. */
export interface DiffusionRun {
  readonly widthPx: number;
  /** Ink where tone and carried error together are above this. */
  readonly thresholdTone: number;
  /** Serpentine turns round on every odd row, counted from the top of the picture. */
  readonly scan: 'serpentine' | 'raster';
  /**
   * Error that would leave the picture at its sides is dropped, as in the published bitmaps, or kept in the nearest
   * pixels of the row below, so that narrow pictures lose no tone; kept only with serpentine scan.
   */
  readonly sides: 'keep' | 'drop';
  /** Strength of every random part, 0 (none) … 1. */
  readonly noise: number;
  readonly seed: number;
  readonly plate: number;
  /** Row number of the first call; the seeded error row depends on it. */
  readonly firstRow: number;
}

/** One way of handing on the error of a pixel to those not yet made. */
export interface DiffusionKernel {
  /** One line for `list kernels`. */
  readonly summary: string;
  /** Who published it, where and when. */
  readonly source: string;
  open(run: DiffusionRun): ScreenRow;
}
