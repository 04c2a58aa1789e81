import { mkdtemp, rm, symlink } from 'node:fs/promises';
import { join, resolve } from 'node:path';

/**
 * Hands `use` a path that the picture library takes as it stands. It reads "[…]" at the end of a file's name
 * as settings for itself, so such a file is given to it by another name.
 */
export async function withPlainPath<T>(
  path: string,
  scratchDir: string,
  use: (path: string) => Promise<T>,
): Promise<T> {
  if (!path.endsWith(']')) return use(resolve(path));
  const folder = await mkdtemp(join(resolve(scratchDir), 'etchwright-'));
  try {
    const link = join(folder, 'picture');
    await symlink(resolve(path), link);
    return await use(link);
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}
