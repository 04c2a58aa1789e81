import * as z from 'zod';

/** Settings that several separations share. */

/** Setting of methods that cut one block again and again: 0 to 5 mm. */
export const overlapMm = z
  .number()
  .min(0)
  .max(5)
  .default(0.1)
  .describe('how far a later cut overlaps ground that is cleared already, never what is kept')
  .meta({ unit: 'mm' });
