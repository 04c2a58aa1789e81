import { FULL_TONE } from '../tone.ts';
import type { Spectrum, SpectrumLoops } from './loops.ts';
import { TILE_PX, type Tile } from './tiles.ts';

/** Tiles whose tone hardly varies say nothing of a screen: mean square of 1 % of the scale. */
const LEAST_VARIANCE = 655 ** 2;

/** Mean square of a Hann window. */
const HANN_SQUARE = 3 / 8;

/** Transforms cost most of the looking, and a screen is in the tiles that vary most. */
const MOST_TILES = 8;

/**
 * Power of the tiles, all of one size, by frequency, averaged (Welch, IEEE Trans. Audio Electroacoust. 15, 1967), under a Hann window of
 * their size, in bins of 1 / TILE_PX cycles per pixel. Scaled so that the bins of a wave's lobe add up to the square of its amplitude, in
 * shares of the whole scale of tone. Null where all tiles are flat.
 */
export function powerSpectrum(tiles: readonly Tile[], loops: SpectrumLoops): Spectrum | null {
  const varied = tiles
    .map((tile) => ({ tile, ...spreadOf(loops, tile) }))
    .filter(({ variance }) => variance >= LEAST_VARIANCE)
    .sort((a, b) => b.variance - a.variance)
    .slice(0, MOST_TILES);
  if (varied.length === 0) return null;
  // a wave of amplitude a leaves a²/4 · size · Σ window² in each of its two lobes, here counted twice
  const { widthPx, heightPx } = varied[0]!.tile;
  const window = HANN_SQUARE ** 2 * widthPx * heightPx;
  return loops.power(varied, 2 / (TILE_PX * TILE_PX * window * varied.length * FULL_TONE ** 2));
}

function spreadOf(loops: SpectrumLoops, tile: Tile): { readonly mean: number; readonly variance: number } {
  const { sum, squares } = loops.sums(tile);
  const { length } = tile.tone;
  return { mean: sum / length, variance: (squares - (sum * sum) / length) / length };
}
