import * as z from 'zod';
import type { LineRules } from '../read-line.ts';

/** The version of entries that is written; older ones are brought up to it when read. */
const ENTRY_VERSION = 1;

const text = z.string().min(1).max(2000);
const sha256 = z.string().regex(/^[0-9a-f]{64}$/);
const share = z.number().min(0).max(1);

const head = {
  version: z.literal(ENTRY_VERSION),
  id: z
    .string()
    .regex(/^e[0-9a-f]{11}$/)
    .describe('begins with a letter, so that it is never taken for the number of an entry'),
  at: z.iso.datetime().describe('when the run ended, UTC'),
};

/** One run that made a plate, or was refused one. Lengths in mm, times in seconds, shares 0…1. */
const plateEntrySchema = z.strictObject({
  ...head,
  kind: z.literal('plate'),
  command: text.describe('the command that made it'),
  name: text.regex(/^[^/\\\0]+$/).describe('stem of the file names'),
  made: z.boolean().describe('false where the plate was refused and nothing was written'),
  note: text.nullable(),
  tool: z.strictObject({
    version: z.string(),
    engine: z.strictObject({ sharp: z.string(), libvips: z.string(), algorithms: z.int() }),
  }),
  input: z.strictObject({ name: z.string(), sha256 }),
  job: z.record(z.string(), z.unknown()).describe('every setting that decides the bits'),
  plate: z.strictObject({
    process: z.string(),
    widthMm: z.number(),
    heightMm: z.number(),
    dpi: z.number(),
  }),
  screen: z.looseObject({ kind: z.string() }).describe('the screen with its settings as achieved'),
  machine: z.string().nullable(),
  press: z.string().nullable(),
  material: z
    .strictObject({
      id: z.string(),
      kind: z.string().nullable(),
      batch: z.string().nullable(),
      confirmedBy: z.string().nullable(),
    })
    .nullable(),
  curve: z
    .strictObject({
      name: z.string(),
      sha256,
      measuredOn: z.string(),
      ageDays: z.int().describe('how old it was on the day of the run'),
      knots: z.array(z.tuple([z.number(), z.number()])),
    })
    .nullable(),
  coverage: z.strictObject({ etched: share, inked: share, predicted: share.nullable() }),
  passes: z.int().nullable(),
  timeS: z.number().nullable().describe('all passes together, as estimated'),
  slotS: z.number().nullable(),
  hold: z
    .array(
      z.strictObject({
        code: z.string(),
        limitMm: z.number().nullable(),
        worstMm: z.number().nullable(),
        count: z.int(),
        areaMm2: z.number(),
      }),
    )
    .nullable(),
  cautions: z.array(z.strictObject({ code: z.string(), severity: z.string(), text: z.string() })),
  files: z.array(
    z.strictObject({ role: z.string(), name: z.string().regex(/^[^/\\\0]+$/), format: z.string(), sha256 }),
  ),
  fire: z.enum(['dark', 'light']).describe('which pixel value tells the machine to fire'),
  bitsSha256: sha256,
});

/** How a plate did at the press. */
export const VERDICTS = ['held', 'partly', 'failed'] as const;

/** What was seen at the press, about an entry that stands before it. */
export const seenSchema = z.strictObject({
  verdict: z.enum(VERDICTS).optional(),
  pull: z.int().min(1).max(100_000).optional(),
  ink: text.optional(),
  paper: text.optional(),
  pressure: text.optional(),
  photo: text.optional(),
  words: text.optional(),
});

const noteEntrySchema = z.strictObject({
  ...head,
  kind: z.literal('note'),
  about: head.id,
  seen: seenSchema,
});

/** One line of a notebook. */
export const entrySchema = z.discriminatedUnion('kind', [plateEntrySchema, noteEntrySchema]);

/** How the lines of a notebook are read; no version before the first. */
export const notebookLines: LineRules<z.output<typeof entrySchema>> = {
  schema: entrySchema,
  version: ENTRY_VERSION,
  migrations: new Map(),
};

export type Entry = z.output<typeof entrySchema>;
export type PlateEntry = z.output<typeof plateEntrySchema>;
export type NoteEntry = z.output<typeof noteEntrySchema>;
export type Seen = z.output<typeof seenSchema>;

/** An entry that is still to get its id and its time. */
export type Draft = Omit<PlateEntry, 'version' | 'id' | 'at'> | Omit<NoteEntry, 'version' | 'id' | 'at'>;

/** Gives a draft its version, id and time; throws where it is not as entries must be. */
export const entryOf = (draft: Draft, id: string, at: string): Entry =>
  entrySchema.parse({ version: ENTRY_VERSION, id, at, ...draft });
