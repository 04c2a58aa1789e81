import { basename } from 'node:path';
import { sha256OfFile } from '../io/find-by-hash.ts';

/** Names and hashes of files that were just read or written; those that are gone are left out. */
export async function hashedFiles(paths: readonly string[]): Promise<{ name: string; sha256: string }[]> {
  const files: { name: string; sha256: string }[] = [];
  for (const path of paths) {
    const sha256 = await sha256OfFile(path);
    if (sha256 !== null) files.push({ name: basename(path), sha256 });
  }
  return files;
}
