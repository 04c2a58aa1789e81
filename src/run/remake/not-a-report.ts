import { readdir, stat } from 'node:fs/promises';
import { basename, dirname, join } from 'node:path';
import { EtchError } from '../../core/errors.ts';

const isPlainFile = (path: string): Promise<boolean> =>
  stat(path).then(
    (one) => one.isFile(),
    () => false,
  );

const REPORT = /\.(report|set|gang)\.json$/;

/** The report beside a file that was made or read, by their names: of those whose stem it begins with, the one of the longest. */
async function reportBeside(path: string): Promise<string | null> {
  const folder = dirname(path);
  const isOf = (name: string): boolean => {
    const stem = name.replace(REPORT, '');
    return basename(path).startsWith(stem) && /^[.-]/.test(basename(path).slice(stem.length));
  };
  const names = (await readdir(folder).catch(() => [])).filter((name) => REPORT.test(name) && isOf(name));
  const [nearest] = names.sort((a, b) => b.length - a.length || (a < b ? -1 : 1));
  return nearest === undefined ? null : join(folder, nearest);
}

/**
 * What is said of a file that could not be read as a report. Whoever names a picture or a plate may have its report at
 * hand; a report that is torn, or a name that nothing has, is told as it is.
 */
export async function unreadable(path: string, cause: unknown): Promise<unknown> {
  if (/\.json$/i.test(path) || !(await isPlainFile(path))) return cause;
  const report = await reportBeside(path);
  return new EtchError(
    'usage',
    'report-not-usable',
    `Reading the report ${path}: this is none. A plate is made again from the report that was written beside it, or from its entry in the notebook`,
    report === null
      ? 'Name its .report.json, .set.json or .gang.json, or the number that `etchwright notebook list` shows.'
      : `Say \`etchwright remake ${report}\`.`,
    cause,
  );
}
