import { constants } from 'node:fs';
import { access, lstat, realpath } from 'node:fs/promises';
import { basename, dirname, join, sep } from 'node:path';
import { makeFolder } from './folders.ts';
import { refusal } from './output-errors.ts';
import { identify } from './same-file.ts';

const OTHER_NAME = 'Give it another name or another folder.';

/** A place that may be written to. */
export interface Target {
  readonly key: string;
  /** Absolute, links followed, so that a link to an old file stays a link. */
  readonly folder: string;
  readonly name: string;
}

export interface TargetRules {
  /** Files that must not be written over, whatever `overwrite` says: picture, job file … */
  readonly protect: readonly string[];
  readonly overwrite: boolean;
}

/** Checks that `path` may be written, making its folder if need be (noted in `foldersMade`); refuses with a reason. */
export async function findTarget(path: string, rules: TargetRules, foldersMade: string[]): Promise<Target> {
  if (path === '' || path.endsWith('/') || path.endsWith(sep)) throw isFolder(path);
  await makeFolder(dirname(path), foldersMade);
  const file = await identify(path);
  if (!file)
    throw refusal('output-failed', path, 'its folder is not there, or not a folder', 'Check the path.');
  for (const input of rules.protect) {
    if ((await identify(input))?.key === file.key) {
      const same = input === path ? 'it' : `it is the same file as "${input}", which`;
      throw refusal(
        'output-is-input',
        path,
        `${same} is an input of this run and is kept as it is`,
        OTHER_NAME,
      );
    }
  }
  if (!file.stats) {
    await refuseLinkToNothing(path);
    return { key: file.key, folder: await realpath(dirname(path)), name: basename(path) };
  }
  if (file.stats.isDirectory()) throw isFolder(path);
  if (!file.stats.isFile()) {
    throw refusal(
      'output-failed',
      path,
      'it is a device or a pipe, not a file',
      'Use - for standard output.',
    );
  }
  if (!rules.overwrite) throw exists(path, 'a file of that name is already there');
  await access(path, constants.W_OK); // replacing a write-protected file would be easy, and not what its owner meant
  const real = await realpath(path);
  return { key: file.key, folder: dirname(real), name: basename(real) };
}

/** The refusal to replace a file without being told to. */
export function exists(path: string, reason: string, cause?: unknown) {
  return refusal(
    'output-exists',
    path,
    reason,
    `${OTHER_NAME} To replace the old file, add --overwrite.`,
    cause,
  );
}

/** The refusal to write two files of one run to the same place. */
export function twice(path: string, other: string) {
  const same = other === path ? 'this path is' : `this is the same file as "${other}", which is`;
  return refusal('output-twice', path, `${same} already written in this run`, 'Give each file its own name.');
}

/** Joined for messages and for the part and old files beside the target. */
export const beside = (target: Target, name: string) => join(target.folder, name);

function isFolder(path: string) {
  return refusal('output-is-folder', path, 'this is a folder, not a file', 'Give the name of a file in it.');
}

async function refuseLinkToNothing(path: string): Promise<void> {
  const entry = await lstat(path).catch(() => undefined);
  if (entry) throw refusal('output-failed', path, 'a link is there that leads nowhere', 'Remove the link.');
}
