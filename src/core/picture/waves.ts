import { TILE_PX } from './tiles.ts';
import { openWavesWasm } from './waves-wasm.ts';

/** Periods looked for, in pixels: below three a scan holds no dots. */
const SHORTEST_PX = 2.8;
/** Coarser ones than are told of are looked at too: a pattern of 50 pixels has waves of 16 among its own. */
const COARSEST_PX = 64;

/** A wave stands out from the mean of the bins round it, up to so far beyond its own, by at least so much. */
export const ROUND = 10;
export const STANDS_OUT = 12;

const HALF = TILE_PX / 2;
/** Squares of the frequencies, in bins, between which waves are looked for. */
const LOWEST = (TILE_PX / COARSEST_PX) ** 2;
const HIGHEST = (TILE_PX / SHORTEST_PX) ** 2;
/** Along an axis frequencies go up to this one. */
export const MOST = Math.ceil(TILE_PX / SHORTEST_PX);

/** A wave in a spectrum: its frequency along both axes, in bins, and the energy of its lobe. */
export interface Wave {
  readonly u: number;
  readonly v: number;
  readonly energy: number;
}

/** How a spectrum is gone through, one way or the other. */
export interface WavesLoops {
  /** Of the numbers [from, to). */
  sum(from: number, to: number): number;
  /** Indices, in order, among which all peaks of the half plane v ≥ 0 are that stand out, for lobes so many bins wide to each side. */
  likely(lobe: number): Iterable<number>;
}

/** For engines without WebAssembly, and what that is held to. */
export const openPlainWaves = (power: Float64Array): WavesLoops => ({
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

/** Where frequency (u, v), in bins, is in a spectrum. */
const at = (u: number, v: number): number => (v + HALF) * TILE_PX + u + HALF;

/** All of a spectrum (see `powerSpectrum`) that is finer than the longest period, and its waves: see `wavesBy`. */
export const openWaves = (power: Float64Array): WavesLoops => openWavesWasm(power) ?? openPlainWaves(power);

/** The sum of all that is finer than the longest period. */
export function fineEnergy(loops: WavesLoops): number {
  let sum = 0;
  for (let v = -HALF; v < HALF; v++) {
    const least = Math.ceil(Math.sqrt(Math.max(0, LOWEST - v * v)));
    sum += loops.sum(at(-HALF, v), at(1 - least, v));
    sum += loops.sum(at(Math.max(1 - least, least), v), at(HALF, v));
  }
  return sum;
}

/** Waves that stand out from what is round them, strongest first, from the half plane v > 0 or v = 0, u > 0. */
export function wavesOf(power: Float64Array, loops: WavesLoops, lobe: number): Wave[] {
  const waves: Wave[] = [];
  for (const index of loops.likely(lobe)) {
    const u = (index & (TILE_PX - 1)) - HALF;
    const v = Math.floor(index / TILE_PX) - HALF;
    const square = u * u + v * v;
    if (square < LOWEST || square > HIGHEST || (v === 0 && u < 0)) continue;
    if (isPeak(power, index)) addWave(power, u, v, lobe, waves);
  }
  return waves.sort((a, b) => b.energy - a.energy);
}

/** None of the eight bins next to it is greater, and of equals it is the first. */
function isPeak(power: Float64Array, index: number): boolean {
  const here = power[index]!;
  for (let dv = -TILE_PX; dv <= TILE_PX; dv += TILE_PX)
    for (let du = -1; du <= 1; du++) {
      const near = power[index + dv + du]!;
      if (near > here || (near === here && dv + du < 0)) return false;
    }
  return true;
}

/** Puts down a wave with its energy above what is round it and its centre of gravity, if it stands out. */
function addWave(power: Float64Array, u: number, v: number, lobe: number, waves: Wave[]): void {
  const reach = lobe + ROUND;
  const bins = (2 * reach + 1) ** 2 - (2 * lobe + 1) ** 2;
  const most = power[at(u, v)]!;
  let round = 0;
  let energy = 0;
  let atU = 0;
  let atV = 0;
  for (let dv = -reach; dv <= reach; dv++) {
    const isNear = Math.abs(dv) <= lobe;
    const row = at(u, v + dv);
    for (let du = -reach; du <= reach; du++) {
      const near = power[row + du]!;
      if (isNear && du >= -lobe && du <= lobe) {
        energy += near;
        atU += near * du;
        atV += near * dv;
      } else round += near;
    }
    // most peaks are noise, which the first rows tell
    if (most < (STANDS_OUT * round) / bins) return;
  }
  waves.push({ u: u + atU / energy, v: v + atV / energy, energy });
}
