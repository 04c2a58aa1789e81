import { clock, percent } from '../../report/words.ts';
import type { Seen } from '../../store/notebook/entry.ts';
import { type EntryKindName, kindOf } from '../../store/notebook/kinds/index.ts';
import { lastSeen, type Page } from '../../store/notebook/pages.ts';

/** What a list tells of a run, in the names and numbers of its entry; null where its kind has no such thing. */
export interface ListItem {
  /** Its place in the notebook, from 1. */
  readonly number: number;
  readonly id: string;
  readonly at: string;
  readonly kind: EntryKindName;
  readonly name: string;
  /** False where it was refused, and of a strip that drifted. */
  readonly made: boolean;
  readonly process: string;
  readonly screen: string | null;
  readonly material: string | null;
  /** Share, 0 … 1. */
  readonly etched: number | null;
  readonly timeS: number | null;
  /** The last that was noted. */
  readonly verdict: Seen['verdict'] | null;
}

export function listItem({ number, entry, notes }: Page): ListItem {
  const { process, screen, etched, timeS } = kindOf(entry).brief(entry);
  const { id, at, kind, name, made, material } = entry;
  const verdict = lastSeen({ notes }).verdict ?? null;
  return {
    ...{ number, id, at, kind, name, made, process, screen: screen || null },
    ...{ material: material?.id ?? null, etched, timeS, verdict },
  };
}

/** The same as its line of the table has it. */
const rowOf = (item: ListItem) => ({
  number: item.number,
  day: item.at.slice(0, 10),
  kind: kindOf(item).short,
  name: item.name,
  process: item.process,
  screen: item.screen ?? '',
  sheet: item.material ?? '',
  etched: item.etched === null ? '' : percent(item.etched),
  minutes: item.timeS === null ? '' : clock(item.timeS),
  verdict: item.made ? (item.verdict ?? '') : kindOf(item).unmade,
});

type ListRow = ReturnType<typeof rowOf>;

/** Columns in their order: their heads, and the longest that one may become. */
const COLUMNS: readonly {
  readonly key: keyof ListRow;
  readonly head: string;
  readonly most?: number;
  readonly isNumber?: true;
}[] = [
  { key: 'number', head: '#', isNumber: true },
  { key: 'day', head: 'day' },
  { key: 'kind', head: 'kind' },
  { key: 'name', head: 'name', most: 16 },
  { key: 'process', head: 'process' },
  { key: 'screen', head: 'screen', most: 9 },
  { key: 'sheet', head: 'sheet', most: 11 },
  { key: 'etched', head: 'etched', isNumber: true },
  { key: 'minutes', head: 'min:s', isNumber: true },
  { key: 'verdict', head: 'at press' },
];

const LINE = 80;
/** Columns that give way until a line keeps to 80 letters, one after the other, and what each keeps. */
const GIVE_WAY: readonly (readonly [key: keyof ListRow, least: number])[] = [
  ['name', 6],
  ['sheet', 8],
  ['screen', 7],
];

const cut = (text: string, most: number): string =>
  text.length > most ? `${text.slice(0, most - 1)}…` : text;

/** Widths that these rows want, none less than it was. */
function widen(widths: readonly number[], rows: readonly ListRow[]): number[] {
  const wanted = COLUMNS.map(({ key, most = Number.POSITIVE_INFINITY }, i) =>
    rows.reduce((width, row) => Math.max(width, Math.min(most, String(row[key]).length)), widths[i]!),
  );
  let over = wanted.reduce((sum, width) => sum + width + 1, -1) - LINE;
  for (const [key, least] of GIVE_WAY) {
    const i = COLUMNS.findIndex((column) => column.key === key);
    const gives = Math.max(0, Math.min(over, wanted[i]! - least));
    wanted[i]! -= gives;
    over -= gives;
  }
  return wanted;
}

const lineOf = (texts: readonly string[], widths: readonly number[]): string =>
  COLUMNS.map(({ isNumber }, i) => {
    const text = cut(texts[i]!, widths[i]!);
    return isNumber ? text.padStart(widths[i]!) : text.padEnd(widths[i]!);
  })
    .join(' ')
    .trimEnd();

/** Rows that are laid out together: as many as are held at a time, however long the list. */
const BLOCK = 2000;

/**
 * A table of runs for 80 columns, printed as its rows come. Columns are as wide as the first 2,000 rows want, and wider
 * from any later 2,000 on that want more.
 */
export function openListTable(print: (lines: string) => void) {
  let rows: ListRow[] = [];
  let widths = COLUMNS.map(({ head }) => head.length);
  let isFirst = true;
  const flush = (): void => {
    if (rows.length === 0) return;
    widths = widen(widths, rows);
    const heads = isFirst
      ? [
          lineOf(
            COLUMNS.map(({ head }) => head),
            widths,
          ),
        ]
      : [];
    const lines = rows.map((row) =>
      lineOf(
        COLUMNS.map(({ key }) => String(row[key])),
        widths,
      ),
    );
    print([...heads, ...lines].join('\n'));
    isFirst = false;
    rows = [];
  };
  return {
    add(item: ListItem): void {
      rows.push(rowOf(item));
      if (rows.length === BLOCK) flush();
    },
    end: flush,
  };
}
