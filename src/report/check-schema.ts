import * as z from 'zod';
import { reportSchema } from './schema.ts';

const { tool, input, workshop, material, passes, time, hold, files, cautions } = reportSchema.shape;

/** What `check` tells of a finished plate file; units as in the report of a plate. */
export const checkSchema = z.strictObject({
  schema: z.literal('etchwright/check'),
  version: z.literal(1),
  tool,
  input,
  plate: z.strictObject({
    widthMm: z.number().meta({ unit: 'mm' }),
    heightMm: z.number().meta({ unit: 'mm' }),
    widthPx: z.int().min(1),
    heightPx: z.int().min(1),
    dpi: z.number(),
    pitchMm: z.number().meta({ unit: 'mm' }),
    process: z.string().describe('what it was held against'),
    fire: z.enum(['dark', 'light']).describe('which pixels were taken to be etched'),
  }),
  polarity: z.strictObject({
    guess: z.enum(['relief', 'intaglio', 'either']).describe('what the etched share looks like'),
    basis: z.string(),
  }),
  coverage: z.strictObject({
    etched: z.number().min(0).max(1),
    etchedMm2: z.number(),
    predicted: z.number().min(0).max(1).describe('etched share after the spread of the spot').nullable(),
    predictedMm2: z.number().nullable(),
  }),
  workshop,
  material,
  passes,
  time,
  hold,
  files: files.describe('what was made to look at'),
  cautions,
});

export type CheckReport = z.output<typeof checkSchema>;
