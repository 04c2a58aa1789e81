import { lstat, open, readFile, rm } from 'node:fs/promises';
import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { refusal, systemCode } from './output-errors.ts';
import { isLeftBehind, newTag, type Owner, readTag } from './owner.ts';

/** Stands in a folder while one run puts its files in place there, so that sets of several runs do not mix. */
export const LOCK_NAME = '.etchwright-lock';

const LOOK_AGAIN_MS = 15;
/** Putting files in place takes milliseconds. */
const PATIENCE_MS = 20_000;
/** A lock is empty between its making and its first word; longer, its maker has died. */
const EMPTY_MS = 2000;

/** Whether the run that made this lock is gone; false also where the lock is. */
export async function isLockStale(path: string, owner: Owner, nowMs: number): Promise<boolean> {
  try {
    const { ctimeMs } = await lstat(path);
    const mark = readTag(await readFile(path, 'utf8'));
    return mark ? isLeftBehind(mark, ctimeMs, owner, nowMs) : nowMs - ctimeMs > EMPTY_MS;
  } catch {
    return false;
  }
}

async function lock(folder: string, owner: Owner): Promise<string> {
  const path = join(folder, LOCK_NAME);
  const giveUp = Date.now() + PATIENCE_MS;
  for (;;) {
    try {
      const handle = await open(path, 'wx', 0o666);
      try {
        await handle.write(newTag(owner));
        return path;
      } catch (cause) {
        await rm(path, { force: true });
        throw cause;
      } finally {
        await handle.close();
      }
    } catch (cause) {
      if (systemCode(cause) !== 'EEXIST') throw cause;
    }
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
