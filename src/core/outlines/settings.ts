import * as z from 'zod';

/** Settings that several kinds share are one setting. */
export const outlineInsetMm = z
  .number()
  .min(0)
  .max(500)
  .describe('waste left all round between the edge of the plate and the outline')
  .meta({ unit: 'mm' })
  .default(0);
