/**
 * Putting a finished file in its place, and taking it back.
 *
 * Whatever moment the run is killed at, the place holds the old file whole or the new file whole:
 * - nothing was there: link new, unlink temporary. Killed between: the new file stands, its second name is swept.
 * - replacing: link old aside, rename new over it (one step for the system). Killed between: the old file stands,
 *   its second name is swept. Killed later: the new file stands, the old one set aside is swept.
 * - replacing on a disk without hard links: rename old aside, rename new in. Killed between: the place is empty
 *   and the old file whole beside it, until the next sweep puts it back.
 * A run killed in the middle of a set may leave its first files new and its last ones old.
 */
import { link, lstat, rename, rm, unlink } from 'node:fs/promises';
import { systemCode } from './output-errors.ts';
import { keyOf, statIfThere } from './same-file.ts';

/** A file that has been put in place and can still be taken back. */
export interface Placed {
  readonly target: string;
  /** Identity of the new file (`keyOf`). */
  readonly key: string;
  /** Where the old file waits; undefined when there was none. */
  readonly aside: string | undefined;
}

// What systems say of disks without hard links (FAT, some network and phone storage), and of files one may not link.
const NO_LINKS = new Set(['EPERM', 'EACCES', 'ENOTSUP', 'EOPNOTSUPP', 'ENOSYS', 'EMLINK', 'EXDEV', 'EINVAL']);

const hasNoLinks = (cause: unknown) => NO_LINKS.has(systemCode(cause));

/** Moves a file to a place that must be empty: throws EEXIST if it is not, and never overwrites. */
export async function placeNew(from: string, target: string): Promise<void> {
  try {
    await link(from, target);
  } catch (cause) {
    if (!hasNoLinks(cause)) throw cause;
    // Not proof against a file that appears between look and rename; without links nothing is.
    if (await isThere(target)) throw Object.assign(new Error('already there', { cause }), { code: 'EEXIST' });
    return await rename(from, target);
  }
  // The file is in place: a second name that will not go is a matter for the next sweep.
  await unlink(from).catch(() => undefined);
}

/** Moves a file to its place, setting an older one there aside. If it throws, the place is as it was. */
export async function placeOver(from: string, target: string, aside: string): Promise<{ replaced: boolean }> {
  if (!(await isThere(target))) {
    await placeNew(from, target);
    return { replaced: false };
  }
  try {
    await setAside(target, aside);
    await rename(from, target);
    return { replaced: true };
  } catch (cause) {
    if (await isThere(aside)) await putBack(aside, target);
    throw cause;
  }
}

/** Takes a placed file away and puts the old one back. */
export async function undoPlace({ target, key, aside }: Placed): Promise<void> {
  if (aside !== undefined) return await putBack(aside, target);
  // If somebody has put another file there since, it is not ours to remove; if it is gone, nothing is to be done.
  const there = await statIfThere(target);
  if (there && keyOf(there) === key) await unlink(target);
}

async function setAside(target: string, aside: string): Promise<void> {
  // A folder can be renamed but not linked, so it would slip through to the second way.
  if (!(await lstat(target)).isFile())
    throw new Error('something that is not a file took its place meanwhile');
  try {
    await link(target, aside);
  } catch (cause) {
    if (!hasNoLinks(cause)) throw cause;
    await rename(target, aside);
  }
}

async function putBack(aside: string, target: string): Promise<void> {
  await rename(aside, target);
  // Renaming one name of a file to another name of the same file does nothing (POSIX rename), so both may be left.
  await rm(aside, { force: true });
}

/** Whether the name is taken, be it by a link that leads nowhere. */
async function isThere(path: string): Promise<boolean> {
  try {
    await lstat(path);
    return true;
  } catch (cause) {
    if (systemCode(cause) === 'ENOENT') return false;
    throw cause;
  }
}
