import type { ProcessDef } from './contract.ts';

/** Line art on a block rarely leaves more than half of it standing (from memory). */
const LEAST_ETCHED = 0.5;

/** Line and tone left standing, printed from a rolled-up block. */
export const relief: ProcessDef = {
  kind: 'relief',
  summary: 'a block: what is not etched prints (lino, wood, MDF, rubber)',
  matrix: 'block',
  etches: 'paper',
  prints: 'kept',
  inking: { squashes: true, wiped: false, plateMark: false },
  border: 'etched',
  facing: 'plate',
  clears: true,
  defaults: { capPercent: 100 },
  screenFor: {
    'line-art': { screen: 'threshold', why: 'a line drawing for relief: edges as drawn' },
    tint: { screen: 'dot', why: 'flat tints for relief: even dots that stand and print' },
    tone: { screen: 'dot', why: 'shaded tone for relief: dots wide enough to stand and print' },
    screened: {
      screen: 'grain',
      why: 'the picture is screened already: a second screen of even dots would beat with the first, grain does not',
    },
    flat: { screen: 'dot', why: 'one flat tint for relief: even dots that stand and print' },
    solid: { screen: 'threshold', why: 'nothing but paper or solid black: no tone to screen' },
    // a lone pixel of wood or lino does not stand, however fine the spot
    singlePixels: null,
  },
  bevelled: false,
  assumes: 'wood',
  screenLimits: { kept: 'minLandMm', etched: 'minGapMm' },
  holds: [
    { code: 'thin-walls', measure: 'walls', side: 'kept', limit: 'minWallMm' },
    { code: 'small-dots', measure: 'dots', side: 'kept', limit: 'minLandMm' },
    { code: 'gaps-fill', measure: 'thin', side: 'etched', limit: 'minGapMm', goesOnOutside: true },
    { code: 'floor-prints', measure: 'wide', side: 'etched', limit: 'widestGapMm' },
    { code: 'kept-ring', measure: 'ring', side: 'kept', limit: 'ringMm' },
    { code: 'in-saw-edge', measure: 'keepOut', side: 'kept', limit: 'sawEdgeMm' },
  ],
  safety: ['laser', 'fume', 'dust', 'presses'],
  implausible: (etched, lineArt) =>
    lineArt && etched < LEAST_ETCHED
      ? {
          limit: LEAST_ETCHED,
          text: 'More than half of this block would print, which is unusual for line art',
        }
      : null,
};
