import { EtchError } from '../../core/errors.ts';
import { openFileSet } from '../../io/atomic.ts';
import { isThere } from '../../io/is-there.ts';
import { type LineSink, linesOf, openLineSink } from '../../io/lines.ts';
import type { Owner } from '../../io/owner.ts';
import {
  type Draft,
  type Entry,
  entryOf,
  type NoteEntry,
  notebookLines,
} from '../../store/notebook/entry.ts';
import type { Page } from '../../store/notebook/pages.ts';
import { ENTRY_START, type Fault, openNumbering, readLine } from '../../store/read-line.ts';
import { newId } from './record-id.ts';

/** The notebook of a folder. */
export const NOTEBOOK_FILE = 'etchwright.notebook.jsonl';

const WHAT = 'notebook';

/** Where the notebook is: as given, else in the working folder, else nowhere. */
export async function findNotebook(given: string | undefined): Promise<string | null> {
  if (given !== undefined) return given;
  return (await isThere(NOTEBOOK_FILE)) ? NOTEBOOK_FILE : null;
}

/** The notebook that is to be read. Throws an EtchError of kind 'usage' where there is none. */
export async function wantedNotebook(given: string | undefined): Promise<string> {
  const path = await findNotebook(given);
  if (path !== null) return path;
  throw new EtchError(
    'usage',
    'no-notebook',
    `There is no ${NOTEBOOK_FILE} in this folder`,
    'Begin one with `etchwright notebook init`, or name one with --notebook.',
  );
}

/** Begins an empty notebook; an existing one is never replaced. */
export async function initNotebook(path: string, owner: Owner): Promise<void> {
  const set = openFileSet({ owner, overwrite: false, protect: [] });
  try {
    await set.add(path);
    await set.commit();
  } catch (error) {
    await set.abandon();
    throw error;
  }
}

/** A notebook open for adding entries. */
export interface NotebookSink {
  add(draft: Draft): Promise<Entry>;
  close(): Promise<void>;
}

/** After so many reads without the end of a line a file is none of ours. */
const MOST_READS = 16;

/**
 * True for an empty file and for one whose beginning holds entries, were it only one that was torn off. A picture or a
 * ledger named by mistake is none, and must not get a line.
 */
async function isNotebook(path: string): Promise<boolean> {
  let isTorn = true;
  let reads = 0;
  for await (const lines of linesOf(path, WHAT)) {
    const written = lines.filter((line) => line.trim() !== '');
    for (const line of written) {
      const read = readLine(line, notebookLines);
      if ('entry' in read || read.fault === 'newer') return true;
      const begins = line.startsWith(ENTRY_START) || ENTRY_START.startsWith(line);
      isTorn &&= read.fault === 'torn' && begins;
    }
    if (written.length > 0) return isTorn;
    // no entry is so long
    if (++reads === MOST_READS) return false;
  }
  return true;
}

/** Opens a notebook for adding; one that cannot be written, or is none, is told before any work is done. */
export async function openNotebook(path: string, now: () => Date): Promise<NotebookSink> {
  const sink: LineSink = await openLineSink(path);
  const isOurs = await isNotebook(path).catch(async (error) => {
    await sink.close();
    throw error;
  });
  if (!isOurs) {
    await sink.close();
    throw new EtchError(
      'usage',
      'not-a-notebook',
      `Opening the notebook ${path}: it is another kind of file, and nothing is added to it`,
      'Name one that was begun with `etchwright notebook init`.',
    );
  }
  return {
    async add(draft) {
      const entry = entryOf(draft, newId(), now().toISOString());
      await sink.append(JSON.stringify(entry));
      return entry;
    },
    close: sink.close,
  };
}

/** Lines that may be notes; a third of the time of reading every line to find out. */
const NOTE = /"kind":\s*"note"/;

/**
 * Pages of a notebook, oldest first, in memory that its notes alone decide: notes stand behind what they speak of, so the
 * file is read twice. What cannot be read is told to `onFault`, once.
 */
export async function* pagesOf(path: string, onFault: (fault: Fault) => void): AsyncGenerator<Page> {
  const notes = new Map<string, NoteEntry[]>();
  for await (const lines of linesOf(path, WHAT))
    for (const line of lines) {
      if (!NOTE.test(line)) continue;
      const read = readLine(line, notebookLines);
      if (!('entry' in read) || read.entry.kind !== 'note') continue;
      const before = notes.get(read.entry.about);
      if (before) before.push(read.entry);
      else notes.set(read.entry.about, [read.entry]);
    }
  const numbered = openNumbering(notebookLines, onFault);
  for await (const lines of linesOf(path, WHAT))
    for (const line of lines) {
      const read = numbered(line);
      if (read === null || read.entry.kind === 'note') continue;
      const { number, entry } = read;
      yield { number, entry, notes: notes.get(entry.id) ?? [] };
    }
}

const SHORTEST_ID = 4;

const isCalled = (name: string, { number, entry }: Page): boolean =>
  /^\d+$/.test(name)
    ? Number(name) === number
    : name.length >= SHORTEST_ID && entry.id.startsWith(name.toLowerCase());

/** The pages that people mean by numbers or by beginnings of ids, in that order. EtchError of kind 'usage' for any that is not there. */
export async function pagesCalled(path: string, names: readonly string[]): Promise<Page[]> {
  const kept: Page[] = [];
  for await (const page of pagesOf(path, () => undefined))
    if (names.some((name) => isCalled(name, page))) kept.push(page);
  return names.map((name) => {
    const found = kept.filter((page) => isCalled(name, page));
    if (found.length === 1) return found[0]!;
    const isMissing = found.length === 0;
    throw new EtchError(
      'usage',
      isMissing ? 'no-such-entry' : 'entry-not-clear',
      `Looking for entry "${name}" in ${path}: ${isMissing ? 'no run is called so' : `${found.length} runs begin so`}`,
      isMissing
        ? 'See `etchwright notebook list --all` for numbers.'
        : 'Give more letters of the id, or its number.',
    );
  });
}
