import type { ProcessDef } from './contract.ts';

/** An intaglio plate with more than this etched is usually a negative (from memory). */
const MOST_ETCHED = 0.6;

/** Solid black at four fifths keeps lands standing between the marks, so that ink is held (common practice). */
const CAP_PERCENT = 80;

/** Line and tone held in etched marks, printed from a wiped plate on damp paper. */
export const intaglio: ProcessDef = {
  kind: 'intaglio',
  summary: 'a plate: what is etched holds ink (acrylic, zinc, copper)',
  matrix: 'plate',
  etches: 'ink',
  prints: 'etched',
  inking: { squashes: false, wiped: true, plateMark: true },
  border: 'kept',
  facing: 'plate',
  clears: false,
  defaults: { capPercent: CAP_PERCENT },
  screenFor: {
    // a level alone would leave wide blacks bare, and ink wipes out of those
    'line-art': {
      screen: 'cell',
      why: 'a line drawing for intaglio: lines kept as lines, wide blacks stippled so that they hold ink',
    },
    tint: { screen: 'cell', why: 'flat tints for intaglio: cells that hold, and lines kept as lines' },
    tone: { screen: 'cell', why: 'shaded tone for intaglio: cells that hold, and lines kept as lines' },
    screened: {
      screen: 'cell',
      why: 'the picture is screened already: a second screen of even dots would beat with the first, cells do not',
      // the dots of a halftone are no lettering
      settings: { lines: 'off' },
    },
    flat: { screen: 'cell', why: 'one flat tint for intaglio: cells that hold' },
    // a level alone would leave a solid bare, and ink wipes out of that
    solid: {
      screen: 'cell',
      why: 'nothing but paper or solid black, which is stippled for intaglio so that it holds ink',
    },
    singlePixels: {
      screen: 'errordiffusion',
      why: 'the spot is no wider than a pixel: single pixels hold, and show the most detail',
    },
  },
  bevelled: true,
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
