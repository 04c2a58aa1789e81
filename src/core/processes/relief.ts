import type { ProcessDef } from './contract.ts';

/** Line art on a block rarely leaves more than half of it standing (from memory). */
const LEAST_ETCHED = 0.5;

export const relief: ProcessDef = {
  kind: 'relief',
  summary: 'a block: what is not etched prints (lino, wood, MDF, rubber)',
  matrix: 'block',
  etches: 'paper',
  prints: 'kept',
  border: 'etched',
  facing: 'plate',
  defaults: { screen: 'threshold', capPercent: 100 },
  implausible: (etched, lineArt) =>
    lineArt && etched < LEAST_ETCHED
      ? {
          limit: LEAST_ETCHED,
          text: 'More than half of this block would print, which is unusual for line art',
        }
      : null,
};
