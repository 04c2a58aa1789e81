import type { NoteEntry, RunEntry, Seen } from './entry.ts';

/** A run of the notebook with the number it is called by and all that was noted of it since. */
export interface Page {
  /** Its place among all entries of the file, from 1; it never changes, since entries are only added. */
  readonly number: number;
  readonly entry: RunEntry;
  readonly notes: readonly NoteEntry[];
}

/** What was seen last of each thing. */
export function lastSeen({ notes }: Pick<Page, 'notes'>): Seen {
  const seen: Seen = {};
  for (const note of notes) Object.assign(seen, note.seen);
  return seen;
}
