import type { DiffusionRun } from './contract.ts';

/** Kernels with the same weights for every tone keep error in 1/256 of a tone step: rounding cannot move a dot. */
export const UNIT_BITS = 8;

/** What a pixel of ink takes off the error, in those units. */
export const SOLID = 65535 << UNIT_BITS;

/** Above this there is ink, in those units. */
export const thresholdOf = ({ thresholdTone }: Pick<DiffusionRun, 'thresholdTone'>): number =>
  Math.floor(thresholdTone * (1 << UNIT_BITS));

/** Larger than any error carried; added to a limit, it keeps paper free of dots and solids free of holes. */
export const NEVER = 1 << 29;
