import * as z from 'zod';

/** The setting of every screen that draws lots. */
export const seed = z
  .int()
  .min(0)
  .max(0xffffffff)
  .default(1)
  .describe('number that fixes every random choice; the same seed gives the same plate');
