import { openFft2d } from '../fft.ts';
import { lastMade } from '../last-made.ts';
import { FULL_TONE } from '../tone.ts';
import { TILE_PX, type Tile } from './tiles.ts';

/** Tiles whose tone hardly varies say nothing of a screen: mean square of 1 % of the scale. */
const LEAST_VARIANCE = 655 ** 2;

/** Mean square of a Hann window. */
const HANN_SQUARE = 3 / 8;

/** Transforms cost most of the looking, and a screen is in the tiles that vary most. */
const MOST_TILES = 8;

/**
 * Power of the tiles by frequency, averaged (Welch, IEEE Trans. Audio Electroacoust. 15, 1967), under a Hann window of each tile's size:
 * `TILE_PX` squared numbers, frequency (u, v) / TILE_PX cycles per pixel at v · TILE_PX + u. Scaled
 * so that the bins of a wave's lobe add up to the square of its amplitude, in shares of the whole scale of tone. Null where all tiles are flat.
 */
export function powerSpectrum(tiles: readonly Tile[]): Float64Array | null {
  const varied = tiles
    .map((tile) => ({ tile, variance: varianceOf(tile) }))
    .filter(({ variance }) => variance >= LEAST_VARIANCE)
    .sort((a, b) => b.variance - a.variance)
    .slice(0, MOST_TILES)
    .map(({ tile }) => tile);
  if (varied.length === 0) return null;
  const size = TILE_PX * TILE_PX;
  const power = new Float64Array(size);
  const re = new Float64Array(size);
  const im = new Float64Array(size);
  const fft = openFft2d(TILE_PX);
  // two real tiles make one complex one: |Z(k)|² + |Z(−k)|² is twice the sum of their powers
  for (let i = 0; i < varied.length; i += 2) {
    fillWindowed(varied[i]!, re);
    const other = varied[i + 1];
    if (other) fillWindowed(other, im);
    else im.fill(0);
    fft(re, im);
    addSquares(re, im, power);
  }
  // a wave of amplitude a leaves a²/4 · size · Σ window² in each of its two lobes, here counted twice
  const { widthPx, heightPx } = varied[0]!;
  const window = HANN_SQUARE ** 2 * widthPx * heightPx;
  const scale = 2 / (size * window * varied.length * FULL_TONE ** 2);
  bothWays(power, scale);
  return power;
}

/** Adds |Z(k)|² to each bin. */
function addSquares(re: Float64Array, im: Float64Array, power: Float64Array): void {
  for (let k = 0; k < power.length; k++) power[k]! += re[k]! * re[k]! + im[k]! * im[k]!;
}

/** Gives k and −k the sum of both, times `scale`. */
function bothWays(power: Float64Array, scale: number): void {
  for (let v = 0; v <= TILE_PX / 2; v++) {
    const row = v * TILE_PX;
    const turnedRow = ((TILE_PX - v) % TILE_PX) * TILE_PX;
    // a row that is its own other way has half of it to go through
    const most = row === turnedRow ? TILE_PX / 2 : TILE_PX - 1;
    for (let u = 0; u <= most; u++) {
      const turned = turnedRow + ((TILE_PX - u) & (TILE_PX - 1));
      const both = (power[row + u]! + power[turned]!) * scale;
      power[row + u] = both;
      power[turned] = both;
    }
  }
}

function meanOf(tone: Int16Array): number {
  let sum = 0;
  for (let i = 0; i < tone.length; i++) sum += tone[i]!;
  return sum / tone.length;
}

/** In one pass: sums of whole numbers, and of squares too, which doubles hold exactly for so few. */
function varianceOf({ tone }: Tile): number {
  let sum = 0;
  let squares = 0;
  for (let i = 0; i < tone.length; i++) {
    const here = tone[i]!;
    sum += here;
    squares += here * here;
  }
  return (squares - (sum * sum) / tone.length) / tone.length;
}

const hann = lastMade(
  (length: number): Float64Array =>
    Float64Array.from({ length }, (_, i) => 0.5 - 0.5 * Math.cos((2 * Math.PI * (i + 0.5)) / length)),
  (length) => length,
);

function fillWindowed({ widthPx, heightPx, tone }: Tile, into: Float64Array): void {
  const across = hann(widthPx);
  const down = hann(heightPx);
  const mean = meanOf(tone);
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
