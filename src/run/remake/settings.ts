import * as z from 'zod';

const remaking = (names?: string) => ({ group: 'remaking', bits: false, ...(names ? { names } : {}) });

/** What only the making again of something is told. */
export const remakeSettings = z.strictObject({
  input: z
    .string()
    .min(1)
    .describe(
      'its picture, or a folder with all it was made from; files with the same bytes beside the record or in this folder unless given',
    )
    .meta(remaking('picture'))
    .optional(),
  anyway: z
    .boolean()
    .describe('make it even if its bits are not those of the record')
    .meta(remaking())
    .default(false),
});

export type RemakeSettings = z.output<typeof remakeSettings>;
