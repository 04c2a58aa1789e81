import { lstat, readFile, rm, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { refusal, systemCode } from './output-errors.ts';
import { isLeftBehind, newTag, type Owner, partName, readTag } from './owner.ts';
import { placeNew } from './place.ts';

/** Stands in a folder while one run puts its files in place there, so that sets of several runs do not mix. */
export const LOCK_NAME = '.etchwright-lock';

const LOOK_AGAIN_MS = 15;
/** Putting files in place takes milliseconds. */
const PATIENCE_MS = 20_000;
/** Locks come into being whole: one that says nothing is not ours to heed for long. */
const SPOILT_MS = 2000;

/** Whether the run that made this lock is gone; false also where the lock is. */
export async function isLockStale(path: string, owner: Owner, nowMs: number): Promise<boolean> {
  try {
    const { ctimeMs } = await lstat(path);
    const mark = readTag(await readFile(path, 'utf8'));
    return mark ? isLeftBehind(mark, ctimeMs, owner, nowMs) : nowMs - ctimeMs > SPOILT_MS;
  } catch {
    return false;
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

async function lock(folder: string, owner: Owner): Promise<string> {
  const path = join(folder, LOCK_NAME);
  const tag = newTag(owner);
  const part = join(folder, partName(LOCK_NAME, tag));
  const giveUp = Date.now() + PATIENCE_MS;
  try {
    await writeFile(part, tag, { flag: 'wx' });
    while (!(await takes(part, path))) {
      if (await isLockStale(path, owner, Date.now())) await rm(path, { force: true });
      else if (Date.now() > giveUp)
        throw refusal(
          'folder-in-use',
          folder,
          'another run is putting its files in place there',
          `Wait for it. If there is none, remove ${LOCK_NAME} from the folder.`,
        );
      else await wait(LOOK_AGAIN_MS);
    }
    return path;
  } catch (cause) {
    await rm(part, { force: true }).catch(() => undefined);
    throw cause;
  }
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
    for (const folder of [...new Set(folders)].sort()) held.push(await lock(folder, owner));
    return await work();
  } finally {
    for (const path of held) await rm(path, { force: true }).catch(() => undefined);
  }
}
