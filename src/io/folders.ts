import { mkdir, open, realpath, rmdir } from 'node:fs/promises';
import { dirname } from 'node:path';
import { systemCode } from './output-errors.ts';
import { statIfThere } from './same-file.ts';

/** Makes a folder and those above it where missing; adds each one made to `made`, uppermost first. */
export async function makeFolder(folder: string, made: string[]): Promise<void> {
  if (await statIfThere(folder)) return;
  // Step by step on the path as given: joining "a/.." together first would be wrong where "a" is a link.
  const above = dirname(folder);
  if (above !== folder) await makeFolder(above, made);
  try {
    await mkdir(folder);
  } catch (cause) {
    if (systemCode(cause) === 'EEXIST') return;
    throw cause;
  }
  made.push(await realpath(folder));
}

/** Takes folders away again that `makeFolder` made, as far as they are empty. Never throws. */
export async function removeMadeFolders(made: readonly string[]): Promise<void> {
  for (const folder of made.toReversed()) await rmdir(folder).catch(() => undefined);
}

const DISK_FAULTS = new Set(['EIO', 'ENOSPC', 'EDQUOT']);

/** Makes the names in a folder last through a loss of power, where the system can do that. */
export async function syncFolder(folder: string): Promise<void> {
  try {
    const handle = await open(folder, 'r');
    try {
      await handle.sync();
    } finally {
      await handle.close();
    }
  } catch (cause) {
    // Windows, some network disks and folders one may not list cannot do it; only a real fault counts.
    if (DISK_FAULTS.has(systemCode(cause))) throw cause;
  }
}
