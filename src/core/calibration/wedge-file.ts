import * as z from 'zod';
import { EtchError } from '../errors.ts';

/** Steps that make a wedge, at least: with fewer, what lies between them would be guessed. */
export const LEAST_STEPS = 5;

/** A reference wedge: a strip of equal steps whose densities are known. */
export const wedgeSchema = z
  .strictObject({
    schema: z.literal('etchwright/wedge'),
    version: z.literal(1),
    name: z
      .string()
      .max(100)
      .regex(/^[^\p{C}]+$/u, 'letters that print')
      .describe('which wedge this is'),
    stepMm: z.number().min(2).max(50).describe('length of one step along the wedge'),
    heightMm: z.number().min(2).max(100).describe('height of the steps across it'),
    densities: z
      .array(z.number().min(0).max(4))
      .min(LEAST_STEPS)
      .max(60)
      .describe('reflection density of every step as its maker or a densitometer has it, lightest first'),
  })
  .refine(({ densities }) => densities.every((d, i) => i === 0 || d > densities[i - 1]!), {
    path: ['densities'],
    message: 'they must rise from step to step, lightest first',
  });

/** A reference wedge as its file has it, version 1. */
export type Wedge = z.output<typeof wedgeSchema>;

/** Reads a wedge out of parsed JSON. EtchError `wedge-not-valid` that names the first place at fault. */
export function parseWedge(value: unknown): Wedge {
  const parsed = wedgeSchema.safeParse(value);
  if (parsed.success) return parsed.data;
  const [first] = parsed.error.issues;
  throw new EtchError(
    'usage',
    'wedge-not-valid',
    `Reading a wedge: ${first!.path.join('.') || 'the whole'}: ${first!.message}`,
    'See `etchwright schema wedge`, and enter the densities of its data sheet.',
  );
}
