import { basename, extname } from 'node:path';

/** Stem of what belongs to a plate file: `sound/ferry.plate.png` → `ferry`. */
export const plateStem = (path: string): string =>
  basename(path, extname(path)).replace(/\.plate$/, '') || 'plate';
