import * as z from 'zod';

const booking = (more: { readonly names?: string; readonly unit?: string } = {}) => ({
  group: 'slots',
  bits: false,
  ...more,
});

/** What the plan of slots is told. */
export const slotsSettings = z.strictObject({
  slots: z
    .array(z.string())
    .min(1)
    .describe('lengths of the booked slots in their order, joined by commas, such as 90,90,60 or 1.5h,45min')
    .meta(booking())
    .optional(),
  changeMinutes: z
    .number()
    .min(0)
    .max(240)
    .describe('time to change one sheet for another, from memory')
    .meta(booking({ unit: 'minutes' }))
    .default(5),
  reserveMinutes: z
    .number()
    .min(0)
    .max(240)
    .describe('time kept free in every slot, for setting up and for what goes wrong, from memory')
    .meta(booking({ unit: 'minutes' }))
    .default(5),
});

export type SlotsSettings = z.output<typeof slotsSettings>;
