import * as z from 'zod';

const remaking = (names?: string) => ({ group: 'remaking', bits: false, ...(names ? { names } : {}) });

/** What only the making again of a plate is told. */
export const remakeSettings = z.strictObject({
  input: z
    .string()
    .min(1)
    .describe('its picture; the file with the same bytes beside the record or in this folder unless given')
    .meta(remaking('picture'))
    .optional(),
  anyway: z
    .boolean()
    .describe('make the plate even if its bits are not those of the record')
    .meta(remaking())
    .default(false),
});

export type RemakeSettings = z.output<typeof remakeSettings>;
