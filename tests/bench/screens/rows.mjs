/** What screens are judged on, and what we hold ourselves to. */

export const DPI = 500;
/** Distance from which a print in the hand is looked at. */
export const DISTANCE_MM = 300;

/** Diameter of one pulse's mark, in pixels of the plate: one pixel, 0.10 mm, 0.15 mm. */
export const SPOTS_PX = [1, 2, 2.95];

/** Settings that are measured beside the defaults, as they change what a screen is. */
export const furtherSettings = [{ kind: 'errordiffusion', params: { kernel: 'ostromoukhov' } }];

/**
 * Most that may be wrong, in points of tone or per cent of land, at every spot unless `spotsPx` says for which:
 * `flat`: worst flat tone; `picture`: mean of the worst picture of tone; `thin`: land of the scene narrower than the spot.
 * A figure without a limit is told and not judged.
 */
export const limits = [
  { kind: 'cell', flat: 0.15, picture: 0.2 },
  { kind: 'cell', spotsPx: [2], thin: 3 },
  { kind: 'grain', flat: 0.35 },
];
