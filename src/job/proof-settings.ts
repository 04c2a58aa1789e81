import * as z from 'zod';

const looking = (unit?: string) => ({ group: 'looking', bits: false, ...(unit ? { unit } : {}) });

/** How a proof looks; nothing in it decides the bits of a plate. */
export const proofSettingsSchema = z.strictObject({
  inkColour: z
    .string()
    .describe('colour of the ink printed solid: #rrggbb, #rgb or a basic word such as navy')
    .meta({ ...looking(), names: 'colour' })
    .default('#262322'),
  paperColour: z
    .string()
    .describe('colour of the paper, likewise')
    .meta({ ...looking(), names: 'colour' })
    .default('#f6f2e8'),
  proofPpi: z
    .number()
    .min(20)
    .max(600)
    .describe('pixels of proof and hold map to an inch of print')
    .meta(looking('ppi'))
    .default(200),
  squashMm: z
    .number()
    .min(0)
    .max(0.5)
    .describe('how far ink is pressed out over the edge of what prints, on blocks (from memory)')
    .meta(looking('mm'))
    .default(0.02),
  plateTonePercent: z
    .number()
    .min(0)
    .max(50)
    .describe('ink that wiping leaves on the ground of a plate (from memory)')
    .meta(looking('percent'))
    .default(6),
  marginMm: z
    .number()
    .min(0)
    .max(200)
    .describe('paper around the plate on the proof')
    .meta(looking('mm'))
    .default(8),
});

export type ProofSettings = z.output<typeof proofSettingsSchema>;

/** What is made to look at beside the plate, and how it looks. */
export const lookingSchema = z.strictObject({
  proof: z
    .boolean()
    .describe('write a proof: the print as it should look, made from the finished plate')
    .meta(looking())
    .default(false),
  holdmap: z.boolean().describe('write a map of what will not hold').meta(looking()).default(false),
  jobsheet: z
    .boolean()
    .describe('write the job sheet for the machine room, to be printed')
    .meta(looking())
    .default(false),
  ...proofSettingsSchema.shape,
});

export type Looking = z.output<typeof lookingSchema>;
