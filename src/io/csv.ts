import { CsvError, parse } from 'csv-parse/sync';
import { EtchError } from '../core/errors.ts';

/** One record of a list and the line it begins on, from 1. */
export interface CsvRecord {
  readonly line: number;
  readonly cells: readonly string[];
}

/** We know some eighty columns; a table of thousands is no list of plates, and each stray cell is told. */
const MOST_CELLS = 500;

const SEPARATORS = [',', ';', '\t'] as const;

const bad = (name: string, code: string, what: string, hint: string, cause?: unknown): EtchError =>
  new EtchError('usage', code, `Reading the list ${name}: ${what}`, hint, cause);

/** The text of a list in UTF-8 or, with its mark, UTF-16, as spreadsheets write it; line ends become plain. */
function listText(bytes: Uint8Array, name: string): string {
  const [first, second] = bytes;
  const utf16 = first === 0xff && second === 0xfe ? 'le' : first === 0xfe && second === 0xff ? 'be' : null;
  try {
    const text = new TextDecoder(utf16 === null ? 'utf-8' : `utf-16${utf16}`, { fatal: true }).decode(bytes);
    return text.replace(/\r\n?/g, '\n');
  } catch (error) {
    throw bad(
      name,
      'list-not-utf8',
      'it is not text in UTF-8',
      'Save it from the spreadsheet as "CSV UTF-8", so that names keep their accents.',
      error,
    );
  }
}

const WORDS: Readonly<Record<string, readonly [what: string, hint: string]>> = {
  CSV_QUOTE_NOT_CLOSED: ['a quotation mark is not closed', 'Close it; one within a quoted value is doubled.'],
  CSV_INVALID_CLOSING_QUOTE: [
    'something follows a closing quotation mark',
    'Double the marks inside a quoted value.',
  ],
  INVALID_OPENING_QUOTE: [
    'a quotation mark stands in an unquoted value',
    'Quote the whole value, and double the mark inside.',
  ],
};

function recordsOf(text: string, separator: string, name: string): CsvRecord[] {
  try {
    const found = parse(text, {
      delimiter: separator,
      record_delimiter: '\n',
      info: true,
      raw: true,
      trim: true,
      relax_column_count: true,
      skip_empty_lines: true,
    }) as unknown as readonly { record: string[]; info: { lines: number }; raw: string }[];
    return found
      .map(({ record, info, raw }) => ({
        // told is where a record ends; one with line breaks in a value begins further up
        line: info.lines - (raw.trim().match(/\n/g)?.length ?? 0),
        cells: record,
      }))
      .filter(({ cells }) => cells.some((cell) => cell !== ''));
  } catch (error) {
    if (!(error instanceof CsvError)) throw error;
    const [what, hint] = WORDS[error.code] ?? [error.message, 'Mend the place named.'];
    throw bad(name, 'list-not-csv', `line ${String(error['lines'])}: ${what}`, hint, error);
  }
}

/**
 * Reads a list: values parted by commas, semicolons or tabs, whichever gives its first line the most cells that `isKnown`.
 * Lines without a value are left out. Throws EtchError of kind 'usage', naming the line, where it is no such list.
 */
export function readCsv(
  bytes: Uint8Array,
  name: string,
  isKnown: (header: string) => boolean,
): readonly CsvRecord[] {
  const text = listText(bytes, name);
  const header = /[^\n]*\S[^\n]*/.exec(text)?.[0];
  if (header === undefined)
    throw bad(
      name,
      'list-empty',
      'there is nothing in it',
      'Its first line names the columns, such as picture,name,width.',
    );
  let best: { readonly separator: string; readonly score: number } = { separator: ',', score: -1 };
  for (const separator of SEPARATORS) {
    const cells = header.split(separator).map((cell) => cell.trim().replace(/^"(.*)"$/, '$1'));
    const score = 1000 * cells.filter(isKnown).length + cells.length;
    if (score > best.score) best = { separator, score };
  }
  const records = recordsOf(text, best.separator, name);
  const wide = records.find(({ cells }) => cells.length > MOST_CELLS);
  if (wide)
    throw bad(
      name,
      'list-too-wide',
      `line ${wide.line} has ${wide.cells.length} cells, more than ${MOST_CELLS}`,
      'Name a list with a column for each setting that differs.',
    );
  return records;
}
