import type { ProcessDef } from './contract.ts';

/** Line art on a block rarely leaves more than half of it standing (from memory). */
const LEAST_ETCHED = 0.5;

export const relief: ProcessDef = {
  kind: 'relief',
  summary: 'a block: what is not etched prints (lino, wood, MDF, rubber)',
  matrix: 'block',
  etches: 'paper',
  prints: 'kept',
  inking: { squashes: true, wiped: false, plateMark: false },
  border: 'etched',
  facing: 'plate',
  defaults: { screen: 'threshold', capPercent: 100 },
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
