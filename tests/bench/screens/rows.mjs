/** What screens are judged on, and what we hold ourselves to. */

export const DPI = 500;
/** Distance from which a print in the hand is looked at. */
export const DISTANCE_MM = 300;

/** Diameter of one pulse's mark, in pixels of the plate: one pixel, 0.10 mm, 0.15 mm. */
export const SPOTS_PX = [1, 2, 2.95];

const PITCH_MM = 25.4 / DPI;

/** Settings that are measured beside the defaults, as they change what a screen is: as named, for a spot of so many pixels. */
export const furtherSettings = [
  // cells as wide as a spot of 2 px, without the margin of the default; refused under a wider one
  { kind: 'cell', name: '0.1016', params: () => ({ cellMm: 2 * PITCH_MM }) },
  // the finest that is not refused: marks and lands are as wide as the spot, in whole pixels
  { kind: 'grain', name: 'finest', params: (spotPx) => ({ grainMm: 2.5 * Math.ceil(spotPx) * PITCH_MM }) },
  { kind: 'errordiffusion', name: 'ostromoukhov', params: () => ({ kernel: 'ostromoukhov' }) },
];

/**
 * Most that may be wrong, in points of tone or per cent of land, of a kind of screen or of one row by its title, at every
 * spot unless `spotsPx` says for which: `flat`: worst flat tone; `picture`: mean of the worst picture of tone; `thin`:
 * land of the scene narrower than the spot; `thinFlats`: the same of the worst flat tone, away from the edges of pictures.
 * A figure without a limit is told and not judged.
 */
export const limits = [
  { kind: 'cell', flat: 0.15, picture: 0.2 },
  { kind: 'cell', spotsPx: [2], thin: 1.5 },
  { kind: 'grain', flat: 0.35, picture: 0.35 },
  // four times the narrowest mark and land to a period, and two and a half times; a spot of one pixel leaves gaps in solids
  { kind: 'grain', title: 'grain', spotsPx: [2, 2.5, 2.75, 2.95], thinFlats: 1 },
  { kind: 'grain', title: 'grain finest', spotsPx: [2, 2.5, 2.75, 2.95], thinFlats: 7 },
];

/** How much more detail of the scene, in dB of HPSNR, one row must keep than another at the same spot. */
export const leads = [
  // cells no wider than the spot, over the grain as it comes and over the finest there is
  { ahead: 'cell 0.1016', behind: 'grain', spotPx: 2, hpsnr: 3.5 },
  { ahead: 'cell 0.1016', behind: 'grain finest', spotPx: 2, hpsnr: 2.5 },
];
