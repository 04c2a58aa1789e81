import * as z from 'zod';
import { formats } from '../io/formats/index.ts';
import { lookingSchema } from '../job/proof-settings.ts';

const formatKinds = Object.keys(formats) as [keyof typeof formats, ...(keyof typeof formats)[]];

const setting = (group: string, names?: string) => ({ group, bits: false, ...(names ? { names } : {}) });

/**
 * What a run is told besides the job: where things go and how hard to work. None of it decides the bits, so none
 * of it stands in a job file.
 */
export const runSchema = z.strictObject({
  out: z
    .string()
    .min(1)
    .describe('folder for the files; - writes the one plate to standard output')
    .meta(setting('output', 'folder'))
    .default('.'),
  name: z
    .string()
    .regex(/^[^/\\\0]+$/, 'a name without / and \\')
    .describe('stem of the file names; the picture’s own name unless given')
    .meta(setting('output', 'name'))
    .optional(),
  format: z
    .array(z.enum(formatKinds))
    .min(1)
    .describe('file formats, joined by commas')
    .meta(setting('output'))
    .default(['png']),
  tiff: z
    .enum(['deflate', 'group4'])
    .describe('how the strips of a TIFF are packed')
    .meta(setting('output'))
    .default('deflate'),
  fire: z
    .enum(['dark', 'light'])
    .describe('which pixel value tells the machine to fire')
    .meta(setting('output'))
    .default('dark'),
  report: z
    .string()
    .min(1)
    .describe('file for the report; - writes it to standard output; beside the plate unless given')
    .meta(setting('output', 'file'))
    .optional(),
  saveJob: z
    .string()
    .min(1)
    .describe('write the whole job to a file, for --job')
    .meta(setting('output', 'file'))
    .optional(),
  workshop: z
    .string()
    .min(1)
    .describe('workshop file; etchwright.workshop.json of this folder unless given')
    .meta(setting('making', 'file'))
    .optional(),
  curve: z
    .string()
    .min(1)
    .describe(
      'measured curve, or the report of a plate made with one; that of the sheet in the workshop file unless given',
    )
    .meta(setting('tone', 'file'))
    .optional(),
  outlineMask: z
    .string()
    .min(1)
    .describe('picture whose dark part is the shape, laid over the picture edge to edge; for --outline shape')
    .meta(setting('outline', 'file'))
    .optional(),
  overwrite: z
    .boolean()
    .describe('replace files that are there already (never the picture)')
    .meta(setting('output'))
    .default(false),
  dryRun: z
    .boolean()
    .describe('do everything but write plates; the report goes to standard output')
    .meta(setting('output'))
    .default(false),
  strict: z.boolean().describe('treat a caution as a refusal').meta(setting('output')).default(false),
  workers: z
    .int()
    .min(1)
    .max(64)
    .describe('threads; the cores there are, at most 3, unless given, and one for a small plate')
    .meta(setting('output'))
    .optional(),
  notebook: z
    .string()
    .min(1)
    .describe('notebook that the run is written into; etchwright.notebook.jsonl of this folder unless given')
    .meta(setting('records', 'file'))
    .optional(),
  note: z
    .string()
    .min(1)
    .max(2000)
    .describe('words to go into the notebook with it')
    .meta(setting('records', 'words'))
    .optional(),
  ...lookingSchema.shape,
});

export type RunSettings = z.output<typeof runSchema>;
