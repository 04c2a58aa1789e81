import * as z from 'zod';
import { count, reportSchema, sha256 } from '../schema.ts';

const { tool, input, plate, screen, coverage, passes, time, curve, files, bitsSha256, cautions } =
  reportSchema.shape;

const problemSchema = z.strictObject({
  code: z.string().describe('stable name for scripts'),
  message: z.string().describe('what was being done, with which value'),
  hint: z.string().describe('what to do'),
});

/** What became of one picture of a list. */
export const batchPlateSchema = z.strictObject({
  row: z.int().min(1).describe('place in the whole list, from 1; the same whichever part of it is made'),
  line: count.nullable().describe('line of the list on which it begins; null for a job file'),
  picture: z.string().describe('as the list or the job file names it'),
  called: z.string().describe('what the list calls the plate, else the name of its picture or job file'),
  name: z.string().describe('stem of its file names: safe on every disk, and no other plate has it'),
  outcome: z
    .enum(['made', 'kept', 'refused', 'failed'])
    .describe(
      'kept: it was there as asked; refused: a caution forbids it; failed: row or picture want mending',
    ),
  problems: z.array(problemSchema).describe('why there is no plate'),
  mendPage: z.string().nullable().describe('page that says what to mend, beside the plates'),
  olderFiles: z.array(z.string()).describe('files of an earlier plate of this name that still lie there'),
  plate: z
    .strictObject({
      ...{ input, plate, screen, coverage, passes, time, curve, files, bitsSha256, cautions },
      report: z.string().nullable().describe('its whole report, beside the plate'),
    })
    .nullable()
    .describe('as in the report of the plate; of a refused one its cautions are why'),
});

export type BatchPlate = z.output<typeof batchPlateSchema>;

/** The report of a list: what became of each of its pictures, in the order of the list. */
export const batchSchema = z.strictObject({
  schema: z.literal('etchwright/batch'),
  version: z.literal(1),
  tool,
  list: z.strictObject({ name: z.string(), sha256 }).nullable().describe('null for job files'),
  part: z
    .strictObject({ index: z.int().min(1), of: z.int().min(1) })
    .nullable()
    .describe('which share of the list this is; null for all of it'),
  dryRun: z.boolean().describe('true where nothing was written'),
  rows: count.describe('plates of the whole list'),
  counts: z.strictObject({ made: count, kept: count, refused: count, failed: count }),
  totalS: z.number().describe('seconds on the machine of all plates together, as far as they are known'),
  contactSheet: z.string().nullable().describe('page that shows them all, beside the plates'),
  plates: z.array(batchPlateSchema),
});

export type BatchReport = z.output<typeof batchSchema>;
