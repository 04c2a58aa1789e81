import { openFft2d } from '../fft.ts';
import { FULL_TONE } from '../tone.ts';
import { openSpectrumWasm } from './spectrum-wasm.ts';
import { TILE_PX, type Tile } from './tiles.ts';

/** Tiles whose tone hardly varies say nothing of a screen: mean square of 1 % of the scale. */
const LEAST_VARIANCE = 655 ** 2;

/** Mean square of a Hann window. */
const HANN_SQUARE = 3 / 8;

/** Transforms cost most of the looking, and a screen is in the tiles that vary most. */
const MOST_TILES = 8;

const HALF = TILE_PX / 2;

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

/** For engines without WebAssembly, and what that is held to. */
export function openPlainSpectrum({ widthPx, heightPx }: Tile): SpectrumLoops {
  const size = TILE_PX * TILE_PX;
  const power = new Float64Array(size);
  const re = new Float64Array(size);
  const im = new Float64Array(size);
  const fft = openFft2d(TILE_PX);
  const across = hann(widthPx);
  const down = hann(heightPx);
  return {
    sums: ({ tone }) => sumsOf(tone),
    add(one, other) {
      fillWindowed(one, across, down, re);
      if (other) fillWindowed(other, across, down, im);
      else im.fill(0);
      fft(re, im);
      addSquares(re, im, power);
    },
    power: (scale) => bothWays(power, scale),
  };
}

/** Adds |Z(k)|² to each bin. */
function addSquares(re: Float64Array, im: Float64Array, power: Float64Array): void {
  for (let k = 0; k < power.length; k++) power[k]! += re[k]! * re[k]! + im[k]! * im[k]!;
}

/** Gives k and −k the sum of both, times `scale`, and puts frequency 0 into the middle. */
function bothWays(power: Float64Array, scale: number): Float64Array {
  const whole = new Float64Array(power.length);
  const inside = TILE_PX - 1;
  for (let v = -HALF; v < HALF; v++) {
    const row = (v & inside) * TILE_PX;
    const turned = (-v & inside) * TILE_PX;
    const to = (v + HALF) * TILE_PX + HALF;
    for (let u = -HALF; u < HALF; u++)
      whole[to + u] = (power[row + (u & inside)]! + power[turned + (-u & inside)]!) * scale;
  }
  return whole;
}

/** In one pass: doubles hold sums of so few squares exactly. */
function sumsOf(tone: Int16Array): { sum: number; squares: number } {
  let sum = 0;
  let squares = 0;
  for (let i = 0; i < tone.length; i++) {
    const here = tone[i]!;
    sum += here;
    squares += here * here;
  }
  return { sum, squares };
}

/** A Hann window of so many weights, none of them 0. */
export const hann = (length: number): Float64Array =>
  Float64Array.from({ length }, (_, i) => 0.5 - 0.5 * Math.cos((2 * Math.PI * (i + 0.5)) / length));

function fillWindowed(
  { tile: { widthPx, heightPx, tone }, mean }: Measured,
  across: Float64Array,
  down: Float64Array,
  into: Float64Array,
): void {
  into.fill(0);
  for (let y = 0; y < heightPx; y++) windowRow(tone, y * widthPx, mean, across, down[y]!, into, y * TILE_PX);
}

function windowRow(
  tone: Int16Array,
  from: number,
  mean: number,
  across: Float64Array,
  weight: number,
  into: Float64Array,
  to: number,
): void {
  for (let x = 0; x < across.length; x++) into[to + x] = (tone[from + x]! - mean) * across[x]! * weight;
}
