import { createHash } from 'node:crypto';
import { lstat, readFile, rm, writeFile } from 'node:fs/promises';
import { basename, dirname, join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { refusal, systemCode } from './output-errors.ts';
import { isLeftBehind, newTag, type Owner, partName, readTag } from './owner.ts';
import { placeNew } from './place.ts';

/** Stands in a folder while one run puts its files in place there, so that sets of several runs do not mix. */
const LOCK_NAME = '.etchwright-lock';

const LOOK_AGAIN_MS = 15;
/** Putting files in place takes milliseconds. */
const PATIENCE_MS = 20_000;
/** Locks come into being whole: one that says nothing is not ours to heed for long. */
const SPOILT_MS = 2000;

/** What stands in a lock whose run is gone; null where it is not, or there is no lock. */
async function deadText(path: string, owner: Owner, nowMs: number): Promise<string | null> {
  try {
    const { ctimeMs } = await lstat(path);
    const text = await readFile(path, 'utf8');
    const mark = readTag(text);
    const isDead = mark ? isLeftBehind(mark, ctimeMs, owner, nowMs) : nowMs - ctimeMs > SPOILT_MS;
    return isDead ? text : null;
  } catch {
    return null;
  }
}

/** True where the lock was free: then it is this run's, whole from its first moment on. */
async function takes(part: string, path: string): Promise<boolean> {
  try {
    await placeNew(part, path);
    return true;
  } catch (cause) {
    if (systemCode(cause) === 'EEXIST') return false;
    throw cause;
  }
}

/** Waits for a lock and takes it. */
async function take(path: string, owner: Owner): Promise<void> {
  const folder = dirname(path);
  const tag = newTag(owner);
  const part = join(folder, partName(basename(path), tag));
  const giveUp = Date.now() + PATIENCE_MS;
  try {
    await writeFile(part, tag, { flag: 'wx' });
    while (!(await takes(part, path))) {
      if (await removeIfDead(path, owner)) continue;
      if (Date.now() > giveUp)
        throw refusal(
          'folder-in-use',
          folder,
          'another run is putting its files in place there',
          `Wait for it. If there is none, remove ${basename(path)} from the folder.`,
        );
      await wait(LOOK_AGAIN_MS);
    }
  } catch (cause) {
    await rm(part, { force: true }).catch(() => undefined);
    throw cause;
  }
}

/** A lock, or a claim on removing the one that its ending names. */
const NAME = /^\.etchwright-lock(\.[0-9a-f]{8})*$/;
export const isLockName = (name: string): boolean => NAME.test(name);

/** Ending of the claim on a lock: two locks with one text are one. */
const endingFor = (text: string): string => createHash('sha256').update(text).digest('hex').slice(0, 8);

/**
 * Removes a lock of a dead run, and says whether it was one. Of several runs that find it dead only the one that holds the claim
 * on it removes it: else the second would take away the lock that the first has put there since. A claim is a lock
 * itself, so one that a killed run leaves is removed in the same way.
 */
export async function removeIfDead(path: string, owner: Owner, nowMs: number = Date.now()): Promise<boolean> {
  const dead = await deadText(path, owner, nowMs);
  if (dead === null) return false;
  const claim = `${path}.${endingFor(dead)}`;
  await take(claim, owner);
  try {
    // gone by now, or the lock of a run that lives
    if ((await readFile(path, 'utf8').catch(() => null)) === dead) await rm(path, { force: true });
  } finally {
    await rm(claim, { force: true }).catch(() => undefined);
  }
  return true;
}

/**
 * Does something while no other run puts files into these folders (absolute, links followed). They are taken in one order,
 * so that two runs never wait for each other.
 */
export async function whileLocked<T>(
  folders: Iterable<string>,
  owner: Owner,
  work: () => Promise<T>,
): Promise<T> {
  const held: string[] = [];
  try {
    for (const folder of [...new Set(folders)].sort()) {
      const path = join(folder, LOCK_NAME);
      await take(path, owner);
      held.push(path);
    }
    return await work();
  } finally {
    for (const path of held) await rm(path, { force: true }).catch(() => undefined);
  }
}
