import { at, isPeak, openPlainWaves, ROUND, SHORTEST_PX, STANDS_OUT, type WavesLoops } from './peaks.ts';
import { TILE_PX } from './tiles.ts';
import { openWavesWasm } from './waves-wasm.ts';

/** Coarser ones than are told of are looked at too: a pattern of 50 pixels has waves of 16 among its own. */
const COARSEST_PX = 64;

const HALF = TILE_PX / 2;
/** Squares of the frequencies, in bins, between which waves are looked for. */
const LOWEST = (TILE_PX / COARSEST_PX) ** 2;
const HIGHEST = (TILE_PX / SHORTEST_PX) ** 2;
/** A wave in a spectrum: its frequency along both axes, in bins, and the energy of its lobe. */
export interface Wave {
  readonly u: number;
  readonly v: number;
  readonly energy: number;
}

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
