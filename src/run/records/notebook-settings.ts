import * as z from 'zod';
import { processes } from '../../core/processes/index.ts';
import { screens } from '../../core/screens/index.ts';
import { seenSchema, VERDICTS } from '../../store/notebook/entry.ts';
import { entryKinds } from '../../store/notebook/kinds/index.ts';

const meta = (group: string, names?: string) => ({ group, bits: false, ...(names ? { names } : {}) });

const kinds = (registry: object) => Object.keys(registry) as [string, ...string[]];

const { shape: seen } = seenSchema;

/** What was seen at the press; the words come as arguments. */
export const seenSettings = z.strictObject({
  verdict: z
    .enum(VERDICTS)
    .describe('note: how the plate did; find: plates that did so')
    .meta(meta('at the press'))
    .optional(),
  pull: seen.pull.describe('note: which pull it was seen on').meta(meta('at the press')),
  ink: seen.ink.describe('note: ink and what was mixed into it').meta(meta('at the press', 'words')),
  paper: seen.paper.describe('note: paper, and how damp').meta(meta('at the press', 'words')),
  pressure: seen.pressure.describe('note: press and pressure').meta(meta('at the press', 'words')),
  photo: seen.photo.describe('note: where a photograph of it is').meta(meta('at the press', 'file')),
});

/** What narrows down a list. */
export const findSettings = z.strictObject({
  kind: z.enum(kinds(entryKinds)).describe('find: runs that made this').meta(meta('looking up')).optional(),
  process: z
    .enum(kinds(processes))
    .describe('find: plates of this process')
    .meta(meta('looking up'))
    .optional(),
  screen: z.enum(kinds(screens)).describe('find: plates of this screen').meta(meta('looking up')).optional(),
  material: z
    .string()
    .min(1)
    .describe('find: plates of this sheet or kind')
    .meta(meta('looking up', 'kind'))
    .optional(),
  last: z
    .int()
    .min(1)
    .max(100_000)
    .describe('list: so many of the newest')
    .meta(meta('looking up'))
    .default(20),
  all: z.boolean().describe('list: every run there is').meta(meta('looking up')).default(false),
});

export type NotebookSettings = z.output<typeof seenSettings> & z.output<typeof findSettings>;
