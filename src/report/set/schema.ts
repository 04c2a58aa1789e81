import * as z from 'zod';
import { count, mm, reportSchema, sha256 } from '../schema.ts';

const { tool, job, files, cautions } = reportSchema.shape;

/** Several plates of one print: how they came about, each with its report, and what they come to together. */
export const setSchema = z.strictObject({
  schema: z.literal('etchwright/set'),
  version: z.literal(1),
  tool,
  name: z.string(),
  separation: z
    .strictObject({
      kind: z.string(),
      settings: z.record(z.string(), z.unknown()).describe('its own settings, and the smallest mark'),
      oneBlock: z
        .boolean()
        .describe('all plates are cut out of one block, one after the other; stages cannot be printed again'),
    })
    .nullable()
    .describe('null where each plate has a picture of its own and nothing was divided'),
  asked: z
    .strictObject({
      by: z.string().nullable(),
      method: z.record(z.string(), z.unknown()).describe('settings of the method'),
      inks: z
        .array(z.strictObject({ name: z.string(), colour: z.string(), opaque: z.boolean() }))
        .nullable()
        .describe('in printing order; null where they were looked for in the picture'),
      settings: z.record(z.string(), z.unknown()).describe('of the set, and the colours it is divided by'),
      job: job.describe('what was asked of all plates; each has its own whole in its report'),
      plates: z.array(z.string()).describe('plates with pictures of their own, in printing order'),
    })
    .describe('all that was asked of the set beside its pictures'),
  askedSha256: sha256.describe(
    'SHA-256 of it, inks and jobs of the plates included; tells a report that was changed since',
  ),
  canvas: z
    .strictObject({
      widthMm: mm('of the print, and of every plate that is not stretched'),
      heightMm: mm('likewise'),
      widthPx: count,
      heightPx: count,
      dpi: z.number(),
      pitchMm: mm('distance from one pixel to the next'),
      box: z
        .strictObject({ xPx: count, yPx: count, widthPx: count, heightPx: count })
        .describe('where the picture lies, print-reading, from the upper left corner'),
    })
    .describe('the same for all plates; those that are stretched have sizes of their own in their reports'),
  paper: z.string().describe('colour of the paper, #rrggbb'),
  plates: z
    .array(
      z.strictObject({
        number: z.int().min(1).describe('in printing order'),
        name: z.string(),
        ink: z.strictObject({ colour: z.string(), opaque: z.boolean() }),
        report: reportSchema,
      }),
    )
    .describe('in the order they are printed'),
  beats: z
    .array(
      z.strictObject({
        plates: z.tuple([z.string(), z.string()]),
        angleDeg: z.number().describe('between the rows of both screens, as achieved'),
        rowsMm: z.number().describe('from one row to the next in the coarser screen'),
        periodMm: z
          .number()
          .nullable()
          .describe('from one light place of the pattern to the next; null where there is none'),
      }),
    )
    .describe('what every two ruled screens do together'),
  aid: z
    .strictObject({
      kind: z.string(),
      trueMm: mm('how true prints lie that are laid by it'),
      needsMm: mm('border that it needs'),
      borderMm: mm('border that it has'),
      wasteShare: z.number().describe('share of every plate that is border, 0…1'),
      first: z
        .string()
        .nullable()
        .describe('the plate whose scales others are read against: the key, or the darkest; null for none'),
      shelfMm: z
        .strictObject({ least: z.number(), most: z.number() })
        .nullable()
        .describe('depth of its shelves, engraved in a pass of their own; null for none'),
      lines: z
        .array(
          z.strictObject({
            plate: z.string(),
            lineMm: mm('width that its lines are drawn with'),
            sureMm: mm('width that the sheet holds for certain'),
          }),
        )
        .describe('in printing order'),
    })
    .nullable()
    .describe('what sheets are laid by, at the same places of the print on every plate; null for none'),
  register: z
    .strictObject({
      aid: z.string().nullable().describe('drawn into the border of every plate; null for none'),
      trustedMm: mm('how true prints lie that are laid by that aid, or with common care without one'),
      triedMm: mm('furthest that a plate was tried off its place'),
      fitsMm: mm('furthest that any plate may lie off before paper shows between inks').nullable(),
      plate: z.string().nullable().describe('the plate that bares paper first; null where none does'),
      slivers: z
        .array(
          z.strictObject({
            plate: z.string(),
            fitsMm: mm('furthest that this plate may lie off').nullable(),
            first: z
              .strictObject({ xMm: z.number(), yMm: z.number(), way: z.string() })
              .nullable()
              .describe(
                'where paper shows first, from the upper left of the print, and which way it lies off',
              ),
            bareMm2: z
              .number()
              .describe('paper bared, in the worst of eight directions, as far off as trusted'),
            way: z.string().nullable().describe('that direction'),
            overlapMm2: z.number().describe('ink on ink that was not so before, in the worst direction'),
          }),
        )
        .describe('each plate shifted alone in eight directions, all others in place'),
      worst: z
        .strictObject({
          xMm: z.number(),
          yMm: z.number(),
          widthMm: z.number(),
          heightMm: z.number(),
          areaMm2: z.number(),
        })
        .nullable()
        .describe('largest connected area of paper that any plate bares, as far off as trusted'),
    })
    .nullable()
    .describe('how true the plates must lie; null for plates of tones, which have no borders to fit'),
  block: z
    .strictObject({
      states: z
        .array(
          z.strictObject({
            cut: z.number().describe('share of the block that is etched before this printing, 0…1'),
            standing: z.number().describe('share of it that stands and prints then'),
            timeS: z.number().nullable().describe('at the machine up to then'),
          }),
        )
        .describe(
          'after each cut; what is said of hold in the report of a plate is of the block in that state',
        ),
      cutsInOnePlace: count.describe('most cuts that any place gets'),
      again: z.number().describe('share of the block that is cut more than once'),
      deepestMm: mm('of such a place, if every cut goes to its full depth').nullable(),
    })
    .nullable()
    .describe('what becomes of the one block, cut by cut; null where every plate is its own'),
  cut: z
    .strictObject({
      of: z.enum(['plates', 'paper']).describe('plates of a jigsaw, or thin papers for chine-collé'),
      as: z.enum(['cut', 'guide', 'template']).describe('what the lines are for on such a sheet'),
      kerfMm: mm('width of the cut that the lines allow for; 0 where no beam cuts'),
      gapMm: mm('paper that shows between pieces cut from one sheet'),
      marginMm: mm('of the pages of lines, around the plate or the papers'),
      map: z
        .strictObject({ name: z.string(), sha256: z.string() })
        .nullable()
        .describe('picture that divides the other; null where its own colours do'),
      sheets: z.array(
        z.strictObject({ name: z.string(), pieces: count, lengthMm: mm('of all lines on it') }),
      ),
      pieces: z.array(
        z.strictObject({
          id: z.string().describe('as it stands on the map of the backs'),
          ink: z.string().nullable().describe('null for bare paper'),
          sheet: z.string(),
          at: z
            .strictObject({ xMm: z.number(), yMm: z.number() })
            .describe('middle of the largest upright square in it, from the upper left of the print'),
          sideMm: mm('side of that square'),
          widthMm: mm('as it is cut; papers before they are damped'),
          heightMm: mm('as it is cut'),
          areaMm2: z.number(),
        }),
      ),
    })
    .nullable()
    .describe('pieces that are cut out, inked or laid one by one and printed in one go; null for other sets'),
  sheets: z
    .strictObject({
      edition: count,
      proofs: count,
      lossPercent: z.number(),
      printings: count,
      start: count.describe(
        'sheets to start with: wanted ÷ (1 − loss) to the power of the printings, rounded up',
      ),
    })
    .nullable(),
  totals: z.strictObject({
    timeS: z.number().nullable().describe('all plates, all passes'),
    slots: count
      .nullable()
      .describe('slots that the plates take when none is divided; null where one does not fit'),
  }),
  files,
  cautions,
});

export type SetReport = z.output<typeof setSchema>;
