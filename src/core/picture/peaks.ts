import { TILE_PX } from './tiles.ts';

/** Periods looked for, in pixels: below three a scan holds no dots. */
export const SHORTEST_PX = 2.8;
/** Along an axis frequencies go up to this one. */
export const MOST = Math.ceil(TILE_PX / SHORTEST_PX);

/** A wave stands out from the mean of the bins round it, up to so far beyond its own, by at least so much. */
export const ROUND = 10;
export const STANDS_OUT = 12;

const HALF = TILE_PX / 2;

/** Where frequency (u, v), in bins, is in a spectrum. */
export const at = (u: number, v: number): number => (v + HALF) * TILE_PX + u + HALF;

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

/** None of the eight bins next to it is greater, and of equals it is the first. */
export function isPeak(power: Float64Array, index: number): boolean {
  const here = power[index]!;
  for (let dv = -TILE_PX; dv <= TILE_PX; dv += TILE_PX)
    for (let du = -1; du <= 1; du++) {
      const near = power[index + dv + du]!;
      if (near > here || (near === here && dv + du < 0)) return false;
    }
  return true;
}
