import * as z from 'zod';
import type { LineRules, Migration } from '../read-line.ts';
import { ENTRY_VERSION, head, text } from './entry-parts.ts';
import type { CalibrationEntry } from './kinds/calibration.ts';
import type { GangEntry } from './kinds/gang.ts';
import { entryKinds } from './kinds/index.ts';
import type { PlateEntry } from './kinds/plate.ts';
import type { StripEntry } from './kinds/strip.ts';
import type { TestPlateEntry } from './kinds/testplate.ts';

export type { CalibrationEntry, GangEntry, PlateEntry, StripEntry, TestPlateEntry };

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
export const entrySchema = z.discriminatedUnion('kind', [
  entryKinds.plate.schema,
  entryKinds.testplate.schema,
  entryKinds.gang.schema,
  entryKinds.calibration.schema,
  entryKinds.strip.schema,
  noteEntrySchema,
]);

type Loose = Record<string, unknown>;

/** The first version knew plates only, not where their pictures lay, and not how strips of TIFFs were packed. */
const fromFirst: Migration = (value) => {
  const entry: Loose = { kind: 'plate', ...value };
  if (entry['kind'] !== 'plate') return entry;
  const { input, files } = entry;
  return {
    ...entry,
    input: { ...(input as Loose), path: null },
    files: Array.isArray(files) ? files.map((file: Loose) => ({ packed: null, ...file })) : files,
  };
};

/** How the lines of a notebook are read. */
export const notebookLines: LineRules<z.output<typeof entrySchema>> = {
  schema: entrySchema,
  version: ENTRY_VERSION,
  migrations: new Map([[1, fromFirst]]),
};

export type Entry = z.output<typeof entrySchema>;
export type NoteEntry = z.output<typeof noteEntrySchema>;
/** What a run has left, of whatever kind. */
export type RunEntry = Exclude<Entry, NoteEntry>;
export type Seen = z.output<typeof seenSchema>;

type Undated<One> = One extends Entry ? Omit<One, 'version' | 'id' | 'at'> : never;

/** An entry that is still to get its id and its time. */
export type Draft = Undated<Entry>;

/** Gives a draft its version, id and time; throws where it is not as entries must be. */
export const entryOf = (draft: Draft, id: string, at: string): Entry =>
  entrySchema.parse({ version: ENTRY_VERSION, id, at, ...draft });
