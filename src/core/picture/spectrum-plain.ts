import { openFft2d } from '../fft.ts';
import { hann, type Measured, type Spectrum, type SpectrumLoops } from './loops.ts';
import { at, isPeak, MOST, mirrorRows, POWER_ROWS } from './peaks.ts';
import { TILE_PX, type Tile } from './tiles.ts';

const HALF = TILE_PX / 2;

/** For engines without WebAssembly, and what that is held to. */
export const openPlainSpectrum = ({ widthPx, heightPx }: Tile): SpectrumLoops => ({
  sums: ({ tone }) => sumsOf(tone),
  power(tiles, scale) {
    const size = TILE_PX * TILE_PX;
    const power = new Float64Array(size);
    const re = new Float64Array(size);
    const im = new Float64Array(size);
    const fft = openFft2d(TILE_PX);
    const across = hann(widthPx);
    const down = hann(heightPx);
    // two real tiles make one complex one: |Z(k)|² + |Z(−k)|² is twice the sum of their powers
    for (let i = 0; i < tiles.length; i += 2) {
      fillWindowed(tiles[i]!, across, down, re);
      const other = tiles[i + 1];
      if (other) fillWindowed(other, across, down, im);
      else im.fill(0);
      fft(re, im);
      addSquares(re, im, power);
    }
    return spectrumOf(bothWays(power, scale));
  },
});

const spectrumOf = (power: Float64Array): Spectrum => ({
  power,
  sum(from, to) {
    let sum = 0;
    for (let i = from; i < to; i++) sum += power[i]!;
    return sum;
  },
  *likely() {
    for (let v = 0; v <= MOST; v++)
      for (let u = -MOST; u <= MOST; u++) if (isPeak(power, at(u, v))) yield at(u, v);
  },
});

/** Adds |Z(k)|² to each bin. */
function addSquares(re: Float64Array, im: Float64Array, power: Float64Array): void {
  for (let k = 0; k < power.length; k++) power[k]! += re[k]! * re[k]! + im[k]! * im[k]!;
}

/** Adds up k and −k, times `scale`. */
function bothWays(power: Float64Array, scale: number): Float64Array {
  const both = new Float64Array(POWER_ROWS * TILE_PX);
  const inside = TILE_PX - 1;
  for (let v = 0; v <= HALF; v++) {
    const row = (v & inside) * TILE_PX;
    const turned = (-v & inside) * TILE_PX;
    for (let u = -HALF; u < HALF; u++)
      both[at(u, v)] = (power[row + (u & inside)]! + power[turned + (-u & inside)]!) * scale;
  }
  mirrorRows(both);
  return both;
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
