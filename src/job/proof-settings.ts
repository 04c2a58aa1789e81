import * as z from 'zod';

const looking = (unit?: string) => ({ group: 'looking', bits: false, ...(unit ? { unit } : {}) });

/** The print itself is on the proof and small on the job sheet; a hold map has no ink, paper or margin of its own. */
const ofPrint = { onlyWith: ['proof', 'jobsheet'] };
/** How the ink comes to lie, and how finely it is drawn, shows on the map too. */
const ofDrawing = { onlyWith: ['proof', 'holdmap', 'jobsheet'] };

/** How a proof looks; nothing in it decides the bits of a plate. */
export const proofSettingsSchema = z.strictObject({
  inkColour: z
    .string()
    .describe('colour of the ink printed solid: #rrggbb, #rgb or a basic word such as navy')
    .meta({ ...looking(), ...ofPrint, names: 'colour' })
    .default('#262322'),
  paperColour: z
    .string()
    .describe('colour of the paper, likewise')
    .meta({ ...looking(), ...ofPrint, names: 'colour' })
    .default('#f6f2e8'),
  proofPpi: z
    .number()
    .min(20)
    .max(600)
    .describe('pixels of proof and hold map to an inch of print')
    .meta({ ...looking('ppi'), ...ofDrawing })
    .default(200),
  squashMm: z
    .number()
    .min(0)
    .max(0.5)
    .describe('how far ink is pressed out over the edge of what prints, on blocks (from memory)')
    .meta({ ...looking('mm'), ...ofDrawing })
    .default(0.02),
  plateTonePercent: z
    .number()
    .min(0)
    .max(50)
    .describe('ink that wiping leaves on the ground of a plate (from memory)')
    .meta({ ...looking('percent'), ...ofDrawing })
    .default(6),
  marginMm: z
    .number()
    .min(0)
    .max(200)
    .describe('paper around the plate on the proof')
    .meta({ ...looking('mm'), ...ofPrint })
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
