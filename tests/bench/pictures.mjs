import { spawnSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { existsSync, mkdirSync, readFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

const maker = fileURLToPath(new URL('make-pictures.mjs', import.meta.url));

/**
 * Paths of the pictures that are measured on. They are made when first wanted and kept in the temporary folder under
 * the hash of what makes them; by a process of their own, because a child's peak memory counts from its parent's.
 */
export function benchPictures() {
  const recipe = createHash('sha256').update(readFileSync(maker)).digest('hex').slice(0, 8);
  const folder = join(tmpdir(), `etchwright-bench-${recipe}`);
  const pictures = { photo: join(folder, 'photo.jpg'), progressive: join(folder, 'progressive.jpg') };
  if (Object.values(pictures).every((path) => existsSync(path))) return pictures;
  mkdirSync(folder, { recursive: true });
  console.log('Making the pictures …');
  const { status } = spawnSync(process.execPath, [maker, pictures.photo, pictures.progressive], {
    stdio: 'inherit',
  });
  if (status !== 0) throw new Error('the pictures could not be made');
  return pictures;
}
