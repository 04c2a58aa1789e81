import * as z from 'zod';

/** Settings that several separations share. */

export const overlapMm = z
  .number()
  .min(0)
  .max(5)
  .default(0.1)
  .describe('how far a later cut overlaps ground that is cleared already, never what is kept')
  .meta({ unit: 'mm' });
