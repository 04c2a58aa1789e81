import { createHash } from 'node:crypto';
import { createReadStream } from 'node:fs';
import { readdir, stat } from 'node:fs/promises';
import { join } from 'node:path';
import { pipeline } from 'node:stream/promises';

/** SHA-256 of a file in lower-case hexadecimal; null where it is no plain file or cannot be read. */
export async function sha256OfFile(path: string): Promise<string | null> {
  try {
    if (!(await stat(path)).isFile()) return null;
    const hash = createHash('sha256');
    await pipeline(createReadStream(path), hash);
    return hash.digest('hex');
  } catch {
    return null;
  }
}

/** Folders with more files than this are not gone through: a picture is looked for beside its report, not on a disk. */
const MOST_FILES = 2000;

/**
 * The file with this hash: first those of the given name, then every file of the folders with the same ending.
 * Null where none is it. Nothing is looked at but the folders themselves, not what lies in folders inside them.
 */
export async function findByHash(
  sha256: string,
  name: string,
  folders: readonly string[],
): Promise<string | null> {
  for (const folder of folders) {
    const path = join(folder, name);
    if ((await sha256OfFile(path)) === sha256) return path;
  }
  const ending = /\.[^.]+$/.exec(name)?.[0].toLowerCase() ?? '';
  for (const folder of folders) {
    const files = await readdir(folder).catch(() => []);
    if (files.length > MOST_FILES) continue;
    for (const file of files.sort()) {
      if (file === name || !file.toLowerCase().endsWith(ending)) continue;
      if ((await sha256OfFile(join(folder, file))) === sha256) return join(folder, file);
    }
  }
  return null;
}
