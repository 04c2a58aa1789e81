import * as z from 'zod';

/** The version of entries that is written; older ones are brought up to it when read. */
export const ENTRY_VERSION = 2;

export const text = z.string().min(1).max(2000);
export const sha256 = z.string().regex(/^[0-9a-f]{64}$/);
/** A name without a path, so that no record leads out of a folder. */
const fileName = text.regex(/^[^/\\\0]+$/);
export const share = z.number().min(0).max(1);
export const seconds = z.number().nullable();

/** What begins every entry. */
export const head = {
  version: z.literal(ENTRY_VERSION),
  id: z
    .string()
    .regex(/^e[0-9a-f]{11}$/)
    .describe('begins with a letter, so that it is never taken for the number of an entry'),
  at: z.iso.datetime().describe('when the run ended, UTC'),
};

/** What every run leaves, whatever it made. Lengths in mm, times in seconds, shares 0…1. */
export const runHead = {
  ...head,
  command: text.describe('the command that made it'),
  name: fileName.describe('stem of the file names'),
  made: z
    .boolean()
    .describe('false where it was refused and nothing was written, and of a strip that drifted'),
  note: text.nullable(),
  tool: z.strictObject({
    version: z.string(),
    engine: z.strictObject({ sharp: z.string(), libvips: z.string(), algorithms: z.int() }),
  }),
  machine: z.string().nullable(),
  material: z
    .strictObject({
      id: z.string(),
      kind: z.string().nullable(),
      batch: z.string().nullable(),
      confirmedBy: z.string().nullable(),
    })
    .nullable(),
  cautions: z.array(z.strictObject({ code: z.string(), severity: z.string(), text: z.string() })),
  files: z.array(
    z.strictObject({
      role: z.string(),
      name: fileName,
      format: z.string(),
      packed: z
        .enum(['deflate', 'group4'])
        .nullable()
        .describe('how its strips are packed, where it has any'),
      sha256,
    }),
  ),
};

export const fire = z.enum(['dark', 'light']).describe('which pixel value tells the machine to fire');

export const plateSize = z.strictObject({
  process: z.string(),
  widthMm: z.number(),
  heightMm: z.number(),
  dpi: z.number(),
});
