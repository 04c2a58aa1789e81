import * as z from 'zod';
import { mm, reportSchema, sha256 } from '../schema.ts';

const { tool, job, jobSha256, workshop, material, time, files, cautions } = reportSchema.shape;

/** The report of a test plate: how it was made, and with which bits. Units as in the report of a plate. */
export const testPlateReportSchema = z.strictObject({
  schema: z.literal('etchwright/testplate-report'),
  version: z.literal(1),
  tool,
  layoutId: z.string().describe('of its layout, the .testplate.json beside it; printed on the plate'),
  job,
  jobSha256,
  passLadder: z.boolean().describe('whether further passes have files of their own'),
  workshop,
  material,
  plate: z.strictObject({
    process: z.string(),
    widthMm: mm('the size asked for'),
    heightMm: mm('the size asked for'),
    dpi: z.number(),
    mirrored: z.boolean(),
  }),
  screen: z
    .strictObject({ kind: z.string(), params: z.record(z.string(), z.unknown()) })
    .describe('of the tints'),
  etched: z.number().min(0).max(1).describe('etched share of the plate'),
  time,
  plates: z
    .array(z.strictObject({ name: z.string().describe('stem of its file names'), bitsSha256: sha256 }))
    .min(1)
    .describe('the plate, then those of further passes; hashes as in the report of a plate'),
  files,
  cautions,
});

export type TestPlateReport = z.output<typeof testPlateReportSchema>;
