import { createHash } from 'node:crypto';
import { realpath } from 'node:fs/promises';
import { basename, dirname, extname, resolve } from 'node:path';
import { EtchError, JobError, type Problem } from '../../core/errors.ts';
import { readCsv } from '../../io/csv.ts';
import { readJsonObject } from '../../io/json-file.ts';
import { readNamed, type UnreadableFile } from '../../io/named-file.ts';
import { isWithin, realPlace } from '../../io/within.ts';
import { distinctNames } from '../../job/file-names.ts';
import type { Layer } from '../../job/layers.ts';
import { isColumn, readList } from '../../job/list.ts';
import { MOST_LIST_BYTES } from './limits.ts';

/** One plate of a batch, as a row of a list or a job file asks for it. */
export interface Entry {
  /** Place in the whole list, from 1. */
  readonly row: number;
  readonly line: number | null;
  /** The picture as it is named. */
  readonly picture: string;
  /** Where it lies. */
  readonly path: string;
  /** What it is called by people. */
  readonly called: string;
  /** Stem of its file names. */
  readonly name: string;
  /** The mask that its outline follows; null for the one of the whole run, if any. */
  readonly outlineMask: string | null;
  readonly layer: Layer;
  readonly problems: readonly Problem[];
}

/** All plates of a batch. */
export interface Entries {
  readonly list: { readonly name: string; readonly sha256: string } | null;
  readonly entries: readonly Entry[];
  /** Files read to find out. */
  readonly sources: readonly string[];
}

type Unnamed = Omit<Entry, 'row' | 'name'>;

const stem = (path: string): string => basename(path, extname(path));

const tooLarge = (name: string, what: string): EtchError =>
  new EtchError(
    'usage',
    'list-too-large',
    `Reading the list ${name}: ${what}`,
    'Name a CSV file with a row for each plate.',
  );

async function bytesOf(path: string): Promise<Uint8Array> {
  try {
    return await readNamed(path, MOST_LIST_BYTES);
  } catch (error) {
    const { code, message } = error as UnreadableFile;
    if (code === 'too-large') throw tooLarge(path, message);
    const hint = 'Check the name and the folder.';
    throw new EtchError('usage', 'list-unreadable', `Reading the list ${path}: ${message}`, hint, error);
  }
}

/** The rows of a list; pictures lie relative to it. Throws JobError with every problem of the header. */
function ofList(bytes: Uint8Array, name: string, folder: string, runFlags: readonly string[]): Unnamed[] {
  if (bytes.length > MOST_LIST_BYTES)
    throw tooLarge(name, `it has more than ${MOST_LIST_BYTES / 1e6} MB, the limit`);
  const { rows, problems } = readList(readCsv(bytes, name, isColumn), name, runFlags);
  if (problems.length > 0) throw new JobError(problems);
  return rows.map(({ picture, name: called, outlineMask, ...row }) => ({
    ...row,
    outlineMask: outlineMask && resolve(folder, outlineMask),
    picture,
    path: resolve(folder, picture),
    called: called ?? (stem(picture) || `line ${row.line}`),
  }));
}

/** A job file that names its picture; one that cannot be read spoils its own plate only. */
async function ofJobFile(path: string): Promise<Unnamed> {
  const name = basename(path);
  const called = stem(name).replace(/\.job$/i, '') || name;
  const entry = (values: Layer['values'], picture: string, problems: readonly Problem[]): Unnamed => ({
    line: null,
    picture,
    path: resolve(dirname(path), picture),
    called,
    outlineMask: null,
    layer: { origin: 'job', name, values },
    problems,
  });
  try {
    const { value } = await readJsonObject(path, 'job file');
    const { picture } = value;
    if (typeof picture === 'string' && picture !== '') return entry(value, picture, []);
    const problem = {
      code: 'no-picture',
      message: `${name}: it names no picture`,
      hint: 'Add a line such as "picture": "ferry.png", from the folder of the job file.',
    };
    return entry(value, '', [problem]);
  } catch (error) {
    if (!(error instanceof EtchError)) throw error;
    return entry({}, '', [{ code: error.code, message: error.message, hint: error.hint }]);
  }
}

/** What of an entry lies where its list or job file may not lead us. */
async function outside(
  { picture, path, outlineMask, layer }: Unnamed,
  folders: readonly string[],
): Promise<Problem[]> {
  const named = [
    ...(picture === '' ? [] : [{ what: 'picture', shown: picture, path }]),
    ...(outlineMask === null ? [] : [{ what: 'mask', shown: outlineMask, path: outlineMask }]),
  ];
  const problems: Problem[] = [];
  for (const { what, shown, path: place } of named)
    if (!(await isWithin(place, folders)))
      problems.push({
        code: `${what}-outside`,
        message: `${layer.name}: the ${what} "${shown}" lies outside the working folder and that of the ${layer.origin === 'row' ? 'list' : 'job file'}`,
        hint: `If that is right, name the folder with --from, such as --from ${dirname(await realPlace(place))}.`,
      });
  return problems;
}

const isJobFile = (path: string): boolean => extname(path).toLowerCase() === '.json';

function wrongSources(paths: readonly string[]): Problem[] {
  if (paths.length === 0)
    return [
      {
        code: 'no-list',
        message: 'No list is given',
        hint: 'Name a list (a CSV file with a header), - for one on standard input, or job files that each name their picture.',
      },
    ];
  const lists = paths.filter((path) => !isJobFile(path));
  if (lists.length === 0 || paths.length === 1) return [];
  return [
    {
      code: 'more-than-one-list',
      message: `${lists.join(', ')}: one list at a time, and no job files beside it`,
      hint: 'Put the rows into one list, or run each by itself. Job files end in .json.',
    },
  ];
}

/**
 * Reads what a batch is to make: one list, or job files. Names are settled over all of it, whichever part is made.
 * Throws EtchError of kind 'usage' where the list cannot be read as one.
 */
export async function readEntries(
  paths: readonly string[],
  standardInput: () => Promise<Uint8Array>,
  runFlags: readonly string[],
  from?: string,
): Promise<Entries> {
  const wrong = wrongSources(paths);
  if (wrong.length > 0) throw new JobError(wrong);
  const [only] = paths;
  const isPiped = only === '-';
  const own = isPiped ? [] : paths.map((path) => dirname(path));
  const folders = [...new Set(['.', ...own, ...(from === undefined ? [] : [from])])];
  const named = (all: readonly Unnamed[]): Promise<Entry[]> => {
    const names = distinctNames(all.map(({ called }) => called));
    return Promise.all(
      all.map(async (entry, i) => ({
        ...entry,
        row: i + 1,
        name: names[i]!,
        problems: [...entry.problems, ...(await outside(entry, folders))],
      })),
    );
  };
  if (isJobFile(only!)) {
    const all: Unnamed[] = [];
    // one after the other: a system lets nobody have thousands of files open at once
    for (const path of paths) all.push(await ofJobFile(path));
    return { list: null, entries: await named(all), sources: paths };
  }
  const bytes = isPiped ? await standardInput() : await bytesOf(only!);
  const name = isPiped ? 'standard input' : basename(only!);
  const rows = ofList(bytes, name, isPiped ? '.' : dirname(only!), runFlags);
  return {
    list: { name, sha256: createHash('sha256').update(bytes).digest('hex') },
    entries: await named(rows),
    sources: isPiped ? [] : [only!],
  };
}

/** Pictures and other inputs that lie in a folder, links followed: only these could be written over there. */
export async function inputsIn(folder: string, paths: readonly string[]): Promise<string[]> {
  const real = (path: string): Promise<string | null> => realpath(path).catch(() => null);
  const place = await real(folder);
  const found: string[] = [];
  for (const path of new Set(paths)) {
    const file = await real(path);
    if (file !== null && dirname(file) === place) found.push(path);
  }
  return found;
}
