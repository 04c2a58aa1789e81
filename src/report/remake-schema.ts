import * as z from 'zod';
import { testPlateReportSchema } from './calibration/testplate-schema.ts';
import { gangSchema } from './gang/schema.ts';
import { reportSchema, sha256 } from './schema.ts';
import { setSchema } from './set/schema.ts';

const bits = sha256.nullable();

/** What came of making something again from its record: whether its bits are the same, and all that is known to differ. */
export const remakeSchema = z.strictObject({
  schema: z.literal('etchwright/remake'),
  version: z.literal(1),
  record: z.string().describe('the report, or the entry of a notebook'),
  kind: z.enum(['plate', 'set', 'gang', 'testplate']),
  sameBits: z.boolean().describe('true where every plate or sheet has the bits of the record'),
  sameFiles: z
    .boolean()
    .nullable()
    .describe(
      'true where every plate file of the record that was made again has the very same bytes; null where none was',
    ),
  plates: z
    .array(
      z.strictObject({
        name: z.string().describe('of the plate or sheet'),
        was: bits.describe('SHA-256 of its bits in the record; null where the record has no such plate'),
        is: bits.describe('of its bits now; null where it was not made'),
      }),
    )
    .min(1),
  differences: z
    .array(z.strictObject({ what: z.string(), was: z.string(), is: z.string() }))
    .describe(
      'pictures, versions, settings that are not what they were: all that is known of why bits differ',
    ),
  written: z.array(z.string()).describe('files written'),
  report: z
    .discriminatedUnion('schema', [reportSchema, setSchema, gangSchema, testPlateReportSchema])
    .describe('of what was made now'),
});

/** What came of making something again. */
export type Remade = z.output<typeof remakeSchema>;
/** One thing in which what was made again differs from what its record says. */
export type Difference = Remade['differences'][number];
