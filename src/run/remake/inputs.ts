import { stat } from 'node:fs/promises';
import { basename, dirname, join } from 'node:path';
import { EtchError } from '../../core/errors.ts';
import { findByHash, sha256OfFile } from '../../io/find-by-hash.ts';
import { isWithin } from '../../io/within.ts';
import { pagesOf } from '../records/notebook.ts';

/** A file that a record was made from. */
export interface WantedInput {
  /** What messages call it: "picture", "plate 02-3fa2c1". */
  readonly what: string;
  readonly name: string;
  readonly sha256: string;
  /** Where the record says that it lay; tried first, and proved by its bytes. */
  readonly paths: readonly string[];
}

/** Where inputs are looked for. */
export interface Search {
  readonly label: string;
  /** Folder of the record. */
  readonly folder: string;
  /** A file, or a folder, that was named. */
  readonly given: string | undefined;
  /** A notebook whose entries say where pictures lay; null for none. */
  readonly notebook: string | null;
}

const isFolder = (path: string): Promise<boolean> =>
  stat(path).then(
    (one) => one.isDirectory(),
    () => false,
  );

/** Where the notebook says that pictures of these bytes lay. */
async function notedPaths(notebook: string | null, sha256: string): Promise<string[]> {
  if (notebook === null) return [];
  const paths = new Set<string>();
  for await (const { entry } of pagesOf(notebook, () => undefined))
    if (entry.kind === 'plate' && entry.input.sha256 === sha256 && entry.input.path !== null)
      paths.add(join(dirname(notebook), entry.input.path));
  return [...paths];
}

/** What a record names is looked at below the record's own folder and the working folder alone, wherever links lead. */
async function firstLike(
  sha256: string,
  paths: readonly string[],
  folders: readonly string[],
): Promise<string | null> {
  for (const path of paths)
    if ((await isWithin(path, folders)) && (await sha256OfFile(path)) === sha256) return path;
  return null;
}

/** The one file by its bytes; null where it is nowhere. */
async function found(
  wanted: WantedInput,
  folders: readonly string[],
  search: Search,
): Promise<string | null> {
  const { sha256, name, paths } = wanted;
  return (
    (await firstLike(sha256, paths, folders)) ??
    (await findByHash(sha256, basename(name), folders)) ??
    (await firstLike(sha256, await notedPaths(search.notebook, sha256), [
      ...folders,
      ...(search.notebook === null ? [] : [dirname(search.notebook)]),
    ]))
  );
}

/**
 * Paths of all inputs of a record, in their order: found by their bytes where the record says, in a folder that is named,
 * beside the record, in the working folder, or where the notebook says. A named file is taken for the only input
 * whatever its bytes; a named folder may hold an input of the same name and other bytes. Throws an EtchError of kind
 * 'input' for one that is not to be found.
 */
export async function findInputs(inputs: readonly WantedInput[], search: Search): Promise<string[]> {
  const { given, folder, label } = search;
  const named = given !== undefined && (await isFolder(given)) ? given : null;
  if (given !== undefined && named === null && inputs.length === 1) return [given];
  const folders = [...new Set([...(named === null ? [] : [named]), folder, '.'])];
  const givenSha256 = given !== undefined && named === null ? await sha256OfFile(given) : null;
  const known = new Map<string, string>();
  const paths: string[] = [];
  for (const wanted of inputs) {
    const path =
      known.get(wanted.sha256) ??
      (given !== undefined && givenSha256 === wanted.sha256 ? given : null) ??
      (await found(wanted, folders, search)) ??
      (await otherOfThatName(wanted, given, named));
    if (path === null) throw await notFound(wanted, label);
    known.set(wanted.sha256, path);
    paths.push(path);
  }
  return paths;
}

/** A named file or one in a named folder that is called as the input was, and has other bytes. */
async function otherOfThatName(
  { name }: WantedInput,
  given: string | undefined,
  named: string | null,
): Promise<string | null> {
  const path = named === null ? given : join(named, basename(name));
  if (path === undefined || basename(path) !== basename(name)) return null;
  return (await sha256OfFile(path)) === null ? null : path;
}

async function notFound({ what, name, sha256 }: WantedInput, label: string): Promise<EtchError> {
  const other = await sha256OfFile(basename(name));
  return new EtchError(
    'input',
    'picture-not-found',
    `Looking for the ${what} of ${label}: no file beside it or in this folder is "${name}" as it was (SHA-256 ${sha256.slice(0, 12)}…)${other === null ? '' : '; the one of that name here has other bytes'}`,
    'Name it, or its folder, with --input. One with other bytes is taken too, and it is told that it is another.',
  );
}
