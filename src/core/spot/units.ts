import { type SpotRegion, type SpotShape, spotRegions } from './regions.ts';

/**
 * Areas are summed in whole units, so that bands add up to exactly the plate whatever their number: 2⁻²⁴ of a
 * pixel is finer than the regions are cut, and 500 million pixels of it still fit a number exactly.
 */
export const UNITS_PER_PX = 2 ** 24;

/** The regions' areas in whole units; what rounding leaves goes to the largest, so that a full pixel is full. */
export function regionUnits(regions: readonly SpotRegion[]): readonly number[] {
  const units = regions.map(({ areaPx }) => Math.round(areaPx * UNITS_PER_PX));
  const solid = regions.reduce((sum, { areaPx }) => sum + areaPx, 0);
  const wanted = Math.round(solid * UNITS_PER_PX);
  const largest = units.indexOf(Math.max(...units));
  if (largest >= 0) units[largest] = units[largest]! + wanted - units.reduce((sum, unit) => sum + unit, 0);
  return units;
}

/** Whole units that each fired pixel etches, where its mark stays within it and no other reaches there: spots up to the pitch, in pulses; else null. */
export function ownUnits(shape: SpotShape): number | null {
  const regions = spotRegions(shape);
  const [own] = regions;
  return regions.length === 1 && own!.by.length === 1 ? regionUnits(regions)[0]! : null;
}
