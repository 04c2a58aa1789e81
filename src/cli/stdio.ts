import { basename, extname } from 'node:path';
import { soundName } from '../job/file-names.ts';

/** What stands for standard input and output where a file could stand. */
export const STDIO = '-';

/** What messages and reports call a picture that was piped in. */
const PIPED = 'standard input';

export const shownName = (path: string): string => (path === STDIO ? PIPED : basename(path));

/** Stem of the files that are made of a picture; `unnamed` for one that has no name of its own. */
export const stemOf = (path: string, unnamed: string): string =>
  path === STDIO ? unnamed : soundName(basename(path, extname(path))) || unnamed;
