import { FULL_TONE } from '../tone.ts';
import { openPlainSpectrum } from './spectrum-plain.ts';
import { openSpectrumWasm } from './spectrum-wasm.ts';
import { TILE_PX, type Tile } from './tiles.ts';
import type { SpectrumLoops } from './windowed.ts';

/** Tiles whose tone hardly varies say nothing of a screen: mean square of 1 % of the scale. */
const LEAST_VARIANCE = 655 ** 2;

/** Mean square of a Hann window. */
const HANN_SQUARE = 3 / 8;

/** Transforms cost most of the looking, and a screen is in the tiles that vary most. */
const MOST_TILES = 8;

/**
 * Power of the tiles by frequency, averaged (Welch, IEEE Trans. Audio Electroacoust. 15, 1967), under a Hann window of each tile's size:
 * `TILE_PX` squared numbers, frequency (u, v) / TILE_PX cycles per pixel at (v + TILE_PX / 2) · TILE_PX + u + TILE_PX / 2. Scaled
 * so that the bins of a wave's lobe add up to the square of its amplitude, in shares of the whole scale of tone. Null where all tiles are flat.
 */
export function powerSpectrum(tiles: readonly Tile[]): Float64Array | null {
  const [first] = tiles;
  if (!first) return null;
  return powerBy(openSpectrumWasm(first) ?? openPlainSpectrum(first), tiles);
}

/** The same by these loops. */
export function powerBy(loops: SpectrumLoops, tiles: readonly Tile[]): Float64Array | null {
  const varied = tiles
    .map((tile) => ({ tile, ...spreadOf(loops, tile) }))
    .filter(({ variance }) => variance >= LEAST_VARIANCE)
    .sort((a, b) => b.variance - a.variance)
    .slice(0, MOST_TILES);
  if (varied.length === 0) return null;
  // two real tiles make one complex one: |Z(k)|² + |Z(−k)|² is twice the sum of their powers
  for (let i = 0; i < varied.length; i += 2) loops.add(varied[i]!, varied[i + 1] ?? null);
  // a wave of amplitude a leaves a²/4 · size · Σ window² in each of its two lobes, here counted twice
  const { widthPx, heightPx } = varied[0]!.tile;
  const window = HANN_SQUARE ** 2 * widthPx * heightPx;
  return loops.power(2 / (TILE_PX * TILE_PX * window * varied.length * FULL_TONE ** 2));
}

function spreadOf(loops: SpectrumLoops, tile: Tile): { readonly mean: number; readonly variance: number } {
  const { sum, squares } = loops.sums(tile);
  const { length } = tile.tone;
  return { mean: sum / length, variance: (squares - (sum * sum) / length) / length };
}
