import { TILE_PX } from './tiles.ts';

/** Periods looked for, in pixels: below three a scan holds no dots. */
export const SHORTEST_PX = 2.8;
/** Along an axis frequencies go up to this one. */
export const MOST = Math.ceil(TILE_PX / SHORTEST_PX);

/** A wave stands out from the mean of the bins round it, up to so far beyond its own, … */
export const ROUND = 10;
/** … by at least so much. */
export const STANDS_OUT = 12;

const HALF = TILE_PX / 2;

/** Rows of a spectrum in front of the half plane v ≥ 0: as many as the rings round waves reach over. */
export const ROWS_BEFORE = 32;
/** Rows of a spectrum. */
export const POWER_ROWS = ROWS_BEFORE + HALF + 1;

/** Where frequency (u, v), in bins, is in a spectrum: u from −TILE_PX / 2 to TILE_PX / 2 − 1, v from −`ROWS_BEFORE` to TILE_PX / 2. */
export const at = (u: number, v: number): number => (v + ROWS_BEFORE) * TILE_PX + u + HALF;

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

/** Fills the rows in front of the half plane: in them everything is the other way round. */
export function mirrorRows(power: Float64Array): void {
  for (let v = 1; v <= ROWS_BEFORE; v++) {
    const row = power.subarray(at(-HALF, -v), at(HALF, -v));
    row.set(power.subarray(at(-HALF, v), at(HALF, v)));
    // the highest frequency is its own negative
    row.subarray(1).reverse();
  }
}
