import type { ProcessDef } from './contract.ts';

/** An intaglio plate with more than this etched is usually a negative (from memory). */
const MOST_ETCHED = 0.6;

/** Solid black at four fifths keeps lands standing between the marks, so that ink is held (common practice). */
const CAP_PERCENT = 80;

export const intaglio: ProcessDef = {
  kind: 'intaglio',
  summary: 'a plate: what is etched holds ink (acrylic, zinc, copper)',
  matrix: 'plate',
  etches: 'ink',
  prints: 'etched',
  inking: { squashes: false, wiped: true, plateMark: true },
  border: 'kept',
  facing: 'plate',
  defaults: { screen: 'errordiffusion', capPercent: CAP_PERCENT },
  assumes: 'acrylic',
  screenLimits: { kept: 'minLandMm', etched: 'minMarkMm' },
  holds: [
    { code: 'thin-lands', measure: 'thin', side: 'kept', limit: 'minLandMm' },
    { code: 'small-marks', measure: 'dots', side: 'etched', limit: 'minMarkMm' },
    { code: 'open-bite', measure: 'wide', side: 'etched', limit: 'maxPoolMm' },
    { code: 'open-bite-field', measure: 'merged', side: 'etched', limit: 'maxPoolMm' },
    { code: 'in-bevel', measure: 'keepOut', side: 'etched', limit: 'bevelMm' },
  ],
  safety: ['laser', 'fume', 'presses'],
  implausible: (etched) =>
    etched > MOST_ETCHED
      ? { limit: MOST_ETCHED, text: 'More of this plate would be etched than an intaglio plate usually has' }
      : null,
};
