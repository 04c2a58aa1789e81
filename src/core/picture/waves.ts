import type { Spectrum } from './loops.ts';
import { at, isPeak, ROUND, ROWS_BEFORE, SHORTEST_PX, STANDS_OUT } from './peaks.ts';
import { TILE_PX } from './tiles.ts';

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

/** The sum of all that is finer than the longest period, in both halves of the plane. */
export function fineEnergy(spectrum: Spectrum): number {
  let sum = 0;
  for (let v = 0; v <= HALF; v++) {
    const least = Math.ceil(Math.sqrt(Math.max(0, LOWEST - v * v)));
    const row =
      spectrum.sum(at(-HALF, v), at(1 - least, v)) +
      spectrum.sum(at(Math.max(1 - least, least), v), at(HALF, v));
    // the middle row and the last are their own other way round
    sum += v === 0 || v === HALF ? row : 2 * row;
  }
  return sum;
}

/** Waves that stand out from what is round them, strongest first, from the half plane v > 0 or v = 0, u > 0. */
export function wavesOf(spectrum: Spectrum, lobe: number): Wave[] {
  const { power } = spectrum;
  const waves: Wave[] = [];
  for (const index of spectrum.likely(lobe)) {
    const u = (index & (TILE_PX - 1)) - HALF;
    const v = Math.floor(index / TILE_PX) - ROWS_BEFORE;
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
