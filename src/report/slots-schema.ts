import * as z from 'zod';

const count = z.int().min(0);
const timeSchema = z
  .looseObject({ perPassS: z.number().min(0) })
  .nullable()
  .optional();
const seconds = (what: string) => z.number().describe(what).meta({ unit: 's' });
const kind = z.enum(['fine', 'clearing']).describe('of the plate itself, or of a clearing plate');

/** What is read of a report to plan by; anything that has passes and times in this form will do. */
export const timedReportSchema = z.looseObject({
  schema: z.string().startsWith('etchwright/'),
  passes: z
    .looseObject({
      count: z.int().min(1),
      plan: z
        .array(
          z.looseObject({
            dpi: z.number().optional(),
            file: z.string().nullable().optional(),
            timeS: z.number().min(0).nullable().optional(),
          }),
        )
        .optional(),
      clearing: z.looseObject({ finePasses: count }).nullable().optional(),
    })
    .nullable()
    .optional(),
  time: timeSchema,
  sheets: z
    .array(z.looseObject({ number: z.int().optional(), time: timeSchema }))
    .min(1)
    .optional()
    .describe('of a report of several sheets: each with its own time, the passes as above'),
});

export type TimedReport = z.output<typeof timedReportSchema>;

/** Which sheets run in which booked slots. Times in seconds; no clock time and no path. */
export const slotsSchema = z.strictObject({
  schema: z.literal('etchwright/slots'),
  version: z.literal(1),
  fits: z.boolean().describe('true where every sheet finds its time'),
  best: z
    .boolean()
    .describe('false where there were too many ways to try them all, and a better plan may exist'),
  changeS: seconds('to change one sheet for another'),
  reserveS: seconds('kept free in every slot'),
  sheets: z.array(
    z.strictObject({
      name: z.string(),
      totalS: seconds('all its passes'),
      passes: z.array(
        z.strictObject({
          kind,
          dpi: z.number().nullable(),
          file: z.string().nullable(),
          timeS: seconds('of this pass'),
        }),
      ),
    }),
  ),
  slots: z.array(
    z.strictObject({
      lengthS: seconds('as booked'),
      usedS: seconds('passes and changes'),
      spareS: seconds('what is left, the reserve taken off'),
      parts: z
        .array(
          z.strictObject({
            sheet: count.describe('its number in `sheets`, from 0'),
            name: z.string(),
            fromPass: z.int().min(1).describe('first of its passes run here, from 1'),
            toPass: z.int().min(1).describe('last of them'),
            timeS: seconds('of these passes'),
          }),
        )
        .describe('in the order they are run'),
    }),
  ),
  parted: z
    .array(
      z.strictObject({
        name: z.string(),
        beforePass: z.int().min(2).describe('the pass before which it comes off the bed'),
        kind,
      }),
    )
    .describe('sheets that are taken off the bed and must come back in register'),
  dropped: z.array(z.strictObject({ name: z.string(), totalS: seconds('all its passes') })),
  needed: z
    .strictObject({ slots: count, ofS: seconds('length of those to be booked besides') })
    .nullable()
    .describe('slots with which all would fit; null where a pass is longer than any slot'),
});

export type SlotsReport = z.output<typeof slotsSchema>;
