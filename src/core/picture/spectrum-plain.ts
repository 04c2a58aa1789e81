import { openFft2d } from '../fft.ts';
import { TILE_PX, type Tile } from './tiles.ts';
import { hann, type Measured, type SpectrumLoops } from './windowed.ts';

const HALF = TILE_PX / 2;

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
