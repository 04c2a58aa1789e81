import * as z from 'zod';

/** How a proof looks; nothing in it decides the bits of a plate. */
export const proofSettingsSchema = z.strictObject({
  inkColour: z
    .string()
    .default('#262322')
    .describe('colour of the ink printed solid: #rrggbb, #rgb or a basic word such as navy'),
  paperColour: z.string().default('#f6f2e8').describe('colour of the paper, likewise'),
  proofPpi: z.number().min(20).max(600).default(200).describe('pixels of the proof to an inch of print'),
  squashMm: z
    .number()
    .min(0)
    .max(0.5)
    .default(0.02)
    .describe('how far ink is pressed out over the edge of what prints, on blocks (default from memory)')
    .meta({ unit: 'mm' }),
  plateTonePercent: z
    .number()
    .min(0)
    .max(50)
    .default(6)
    .describe('ink that wiping leaves on the ground of a plate (default from memory)')
    .meta({ unit: '%' }),
  marginMm: z.number().min(0).max(200).default(8).describe('paper around the plate').meta({ unit: 'mm' }),
});

export type ProofSettings = z.output<typeof proofSettingsSchema>;
