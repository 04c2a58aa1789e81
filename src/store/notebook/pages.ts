import type { Entry, NoteEntry, PlateEntry, Seen } from './entry.ts';
import { readLine } from './read-line.ts';

/** A plate of the notebook with the number it is called by and all that was noted of it since. */
export interface Page {
  /** Its place among all entries of the file, from 1; it never changes, since entries are only added. */
  readonly number: number;
  readonly plate: PlateEntry;
  readonly notes: readonly NoteEntry[];
}

/** A line that is no entry, and where it stands. */
export interface Fault {
  readonly line: number;
  readonly what: string;
}

/** An entry and its number. */
export interface Numbered {
  readonly number: number;
  readonly entry: Entry;
}

/** What was seen last of each thing. */
export function lastSeen({ notes }: Pick<Page, 'notes'>): Seen {
  const seen: Seen = {};
  for (const note of notes) Object.assign(seen, note.seen);
  return seen;
}

/** Numbers the entries of a notebook as its lines come; what cannot be read is told to `onFault` and takes no number. */
export function openNumbering(onFault: (fault: Fault) => void) {
  let line = 0;
  let number = 0;
  return (text: string): Numbered | null => {
    line++;
    if (text.trim() === '') return null;
    const read = readLine(text);
    if ('fault' in read) {
      onFault({ line, what: read.what });
      return null;
    }
    number++;
    return { number, entry: read.entry };
  };
}
