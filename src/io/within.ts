import { realpath } from 'node:fs/promises';
import { dirname, relative, resolve, sep } from 'node:path';

/** Where a path really leads, links followed as far as there is something; absolute. */
export async function realPlace(path: string): Promise<string> {
  const whole = resolve(path);
  try {
    return await realpath(whole);
  } catch {
    const above = dirname(whole);
    return above === whole ? whole : resolve(await realPlace(above), relative(above, whole));
  }
}

/**
 * Whether a file that another file names lies below one of these folders, wherever links lead. What is typed may be
 * anywhere; what a file of somebody's names may not.
 */
export async function isWithin(path: string, folders: readonly string[]): Promise<boolean> {
  const place = await realPlace(path);
  for (const folder of folders) {
    const top = await realPlace(folder);
    if (place === top || place.startsWith(top.endsWith(sep) ? top : top + sep)) return true;
  }
  return false;
}
