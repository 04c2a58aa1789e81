/** A list of plates: a header of our settings' names, then a row for each plate. */
import type { Problem } from '../core/errors.ts';
import type { Layer } from './layers.ts';
import { flagFor, jobSettings, nearest } from './settings.ts';

/** Columns that say what a row is about, beside the settings of its job. */
const ABOUT = ['picture', 'name', 'comment', 'outlineMask'] as const;

/** `--Max Pixels`, `maxPixels` and `max_pixels` are one column. */
const plain = (header: string): string =>
  header
    .trim()
    .replace(/^--/, '')
    .replace(/[\s_]+/g, '-')
    .toLowerCase();

const KEYS: ReadonlyMap<string, string> = new Map([
  ...jobSettings.flatMap(({ key, flag }) => [[plain(key), key] as const, [flag, key] as const]),
  ...ABOUT.flatMap((key) => [[plain(flagFor(key)), key] as const, [plain(key), key] as const]),
]);

export const isColumn = (header: string): boolean => KEYS.has(plain(header));

/** One column: its words in the header, and what it sets; null where it has no name. */
interface Column {
  readonly header: string;
  readonly key: string | null;
}

/** A record as it was read: where it begins, and its cells. */
interface Cells {
  readonly line: number;
  readonly cells: readonly string[];
}

/** One plate of a list. */
export interface ListRow {
  readonly line: number;
  /** The picture, from the folder of the list; empty where none is named. */
  readonly picture: string;
  /** What the plate is called; null where only its picture has a name. */
  readonly name: string | null;
  /** The mask that its outline follows, from the folder of the list; null for none of its own. */
  readonly outlineMask: string | null;
  readonly layer: Layer;
  readonly problems: readonly Problem[];
}

/** A setting that holds for the whole run, named as a column. */
const ofTheRun = (header: string, runFlags: readonly string[]): string | undefined =>
  runFlags.find((flag) => plain(header) === flag || plain(header) === flag.replaceAll('-', ''));

function remedy(header: string, runFlags: readonly string[]): string {
  const flag = ofTheRun(header, runFlags);
  if (flag !== undefined) return `It holds for the whole list: give --${flag} on the command line.`;
  const near = nearest(plain(header), KEYS.keys());
  return near === null
    ? 'Columns are picture, name, comment and any setting: see `etchwright schema job`.'
    : `Did you mean "${flagFor(KEYS.get(near)!)}"?`;
}

/** What the header of a list says, and all that is wrong with it. */
function readHeader(
  { line, cells }: Cells,
  list: string,
  runFlags: readonly string[],
): { readonly columns: readonly Column[]; readonly problems: readonly Problem[] } {
  const problems: Problem[] = [];
  const where = `${list}, line ${line}`;
  const columns = cells.map((header): Column => ({ header, key: KEYS.get(plain(header)) ?? null }));
  for (const [i, { header, key }] of columns.entries()) {
    const first = columns.find((column) => column.key === key);
    if (header !== '' && key === null)
      problems.push({
        code: 'unknown-column',
        message: `${where}: there is no setting for the column "${header}"`,
        hint: remedy(header, runFlags),
      });
    if (key !== null && first !== columns[i])
      problems.push({
        code: 'doubled-column',
        message: `${where}: the columns "${first!.header}" and "${header}" are the same setting`,
        hint: 'Leave one of them out.',
      });
  }
  if (!columns.some(({ key }) => key === 'picture'))
    problems.push({
      code: 'no-picture-column',
      message: `${where}: no column is called "picture"`,
      hint: 'The first line names the columns, such as picture,name,width.',
    });
  return { columns, problems };
}

function readRow({ line, cells }: Cells, columns: readonly Column[], list: string): ListRow {
  const problems: Problem[] = [];
  const values: Record<string, unknown> = {};
  const places: Record<string, string> = {};
  const about: Record<string, string> = {};
  for (const [i, cell] of cells.entries()) {
    const { header = '', key = null } = columns[i] ?? {};
    if (cell === '') continue;
    if (key === null)
      problems.push({
        code: 'value-without-column',
        message: `${list}, line ${line}: "${cell}" stands in column ${i + 1}, which has no name`,
        hint: 'A value that holds a separator wants quotation marks around it; otherwise name the column.',
      });
    else if ((ABOUT as readonly string[]).includes(key)) about[key] = cell;
    else {
      values[key] = cell;
      places[key] = `column "${header}"`;
    }
  }
  if (about['picture'] === undefined)
    problems.push({
      code: 'no-picture',
      message: `${list}, line ${line}, column "picture": nothing stands there`,
      hint: 'Name the picture, from the folder of the list.',
    });
  return {
    line,
    picture: about['picture'] ?? '',
    name: about['name'] ?? null,
    outlineMask: about['outlineMask'] ?? null,
    layer: { origin: 'row', name: `${list}, line ${line}`, values, places },
    problems,
  };
}

/**
 * The plates of a list; `runFlags` are settings that hold for the whole run and may be no columns. Rows with problems of
 * their own have them beside them; problems of the header spoil the list, and then there are no rows.
 */
export function readList(
  records: readonly Cells[],
  list: string,
  runFlags: readonly string[],
): { readonly rows: readonly ListRow[]; readonly problems: readonly Problem[] } {
  const [header, ...rest] = records;
  if (!header) throw new Error('a list without a header was let in');
  const { columns, problems } = readHeader(header, list, runFlags);
  if (problems.length > 0) return { rows: [], problems };
  if (rest.length === 0)
    return {
      rows: [],
      problems: [
        {
          code: 'list-without-rows',
          message: `${list}: no row follows the header`,
          hint: 'Each plate has a row of its own.',
        },
      ],
    };
  return { rows: rest.map((record) => readRow(record, columns, list)), problems: [] };
}
