import type { ProcessDef } from '../../../src/core/processes/contract.ts';
import { relief } from '../../../src/core/processes/relief.ts';

/** A block printed by hand with the baren: as relief, but soft paper is pushed into wide ground, so half of it may be open. */
export const handprint: ProcessDef = {
  ...relief,
  kind: 'handprint',
  summary: 'a block printed by hand: what is not etched prints',
  defaults: { capPercent: 100, borderMm: 10 },
  safety: ['laser', 'fume', 'dust'],
  implausible: () => null,
};
