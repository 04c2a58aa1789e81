import * as z from 'zod';

/** What only a test plate is told. */
export const testPlateSettings = z.strictObject({
  passLadder: z
    .boolean()
    .describe('give areas of their own two, three and four passes, each further pass in a file of its own')
    .meta({ group: 'output', bits: false })
    .default(false),
});
