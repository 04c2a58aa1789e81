import { lstat, mkdtemp, readdir, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { isLockName, removeIfDead } from './folder-lock.ts';
import { scratchError, systemCode } from './output-errors.ts';
import { isLeftBehind, type Owner, readFileName, readScratchName, scratchPrefix } from './owner.ts';
import { placeNew } from './place.ts';

/** Paths cleared away, and paths of old files put back where a killed run had moved them aside. */
export interface Swept {
  readonly removed: readonly string[];
  readonly restored: readonly string[];
}

/**
 * Clears a folder of what killed runs left in it; never touches what a living run may still need. Call it
 * before opening a file set there. An old file that was set aside goes back if its place is empty; if its
 * place is taken, the new file is there whole (see place.ts) and the old one goes. Never throws: what cannot be cleared stays.
 */
export async function sweepStale(folder: string, owner: Owner, nowMs: number = Date.now()): Promise<Swept> {
  const removed: string[] = [];
  const restored: string[] = [];
  for (const name of await namesIn(folder)) {
    if (isLockName(name)) {
      await removeIfDead(join(folder, name), owner, nowMs).catch(() => undefined);
      continue;
    }
    const mark = readFileName(name);
    const path = join(folder, name);
    try {
      if (!mark) continue;
      const info = await lstat(path);
      // The time of last change of the entry, not of the contents: an old file set aside may be years old.
      if (!info.isFile() || !isLeftBehind(mark, info.ctimeMs, owner, nowMs)) continue;
      const target = join(folder, mark.target);
      if (mark.kind === 'old' && (await putBackIfMissing(path, target))) restored.push(target);
      else {
        await rm(path);
        removed.push(path);
      }
    } catch {
      // Someone else cleared it, or we may not: either way there is nothing to be done about it now.
    }
  }
  return { removed, restored };
}

async function putBackIfMissing(aside: string, target: string): Promise<boolean> {
  try {
    await placeNew(aside, target);
    return true;
  } catch (cause) {
    if (systemCode(cause) === 'EEXIST') return false;
    throw cause;
  }
}

/** Makes an empty folder for this run's scratch files, open to this user only. Remove it when done. */
export async function scratchFolder(owner: Owner, parent: string = tmpdir()): Promise<string> {
  try {
    return await mkdtemp(join(parent, scratchPrefix(owner)));
  } catch (cause) {
    throw scratchError(parent, cause);
  }
}

/** Removes the scratch folders of killed runs; says which. Never throws: what cannot be removed stays. */
export async function sweepStaleScratch(
  owner: Owner,
  parent: string = tmpdir(),
  nowMs: number = Date.now(),
): Promise<readonly string[]> {
  const removed: string[] = [];
  for (const name of await namesIn(parent)) {
    const mark = readScratchName(name);
    const path = join(parent, name);
    try {
      if (!mark) continue;
      const info = await lstat(path);
      if (!info.isDirectory() || !isLeftBehind(mark, info.ctimeMs, owner, nowMs)) continue;
      await rm(path, { recursive: true });
      removed.push(path);
    } catch {
      // Another user's, or just cleared by another run.
    }
  }
  return removed;
}

const namesIn = (folder: string) => readdir(folder).catch((): string[] => []);
