import { FRESH_DAYS } from '../job/measured-curve.ts';
import { clock, num, percent } from '../report/words.ts';
import type { Change, Comparison } from '../store/notebook/changes.ts';
import type { Seen } from '../store/notebook/entry.ts';
import { lastSeen, type Page } from '../store/notebook/pages.ts';
import type { Fault } from '../store/read-line.ts';
import { row, wrap } from './render.ts';
import type { Talk } from './talk.ts';

/** What a list shows of a plate; little, so that long notebooks are listed in little memory. */
export interface ListRow {
  readonly number: number;
  readonly day: string;
  readonly name: string;
  readonly process: string;
  readonly screen: string;
  readonly sheet: string;
  readonly etched: string;
  readonly minutes: string;
  readonly verdict: string;
}

export const listRow = ({ number, plate, notes }: Page): ListRow => ({
  number,
  day: plate.at.slice(0, 10),
  name: plate.name,
  process: plate.plate.process,
  screen: plate.screen.kind,
  sheet: plate.material?.id ?? '',
  etched: percent(plate.coverage.etched),
  minutes: plate.timeS === null ? '' : clock(plate.timeS),
  verdict: plate.made ? (lastSeen({ notes }).verdict ?? '') : 'refused',
});

const HEADS: ListRow & { number: number } = {
  number: Number.NaN,
  day: 'day',
  name: 'name',
  process: 'process',
  screen: 'screen',
  sheet: 'sheet',
  etched: 'etched',
  minutes: 'min:s',
  verdict: 'at press',
};

const LINE = 80;
/** Longest that a column may become; names give way until a line keeps to 80 columns. */
const MOST = { name: 16, screen: 9, sheet: 11 } as const;
const LEAST_NAME = 6;
const NAME_COLUMN = 2;

const cut = (text: string, most: number): string =>
  text.length > most ? `${text.slice(0, most - 1)}…` : text;

/** A table of plates for 80 columns. */
export function listTable(rows: readonly ListRow[]): string {
  const cells = [HEADS, ...rows].map((one) => [
    Number.isNaN(one.number) ? '#' : String(one.number),
    one.day,
    cut(one.name, MOST.name),
    one.process,
    cut(one.screen, MOST.screen),
    cut(one.sheet, MOST.sheet),
    one.etched,
    one.minutes,
    one.verdict,
  ]);
  const widths = cells[0]!.map((_, i) => cells.reduce((most, line) => Math.max(most, line[i]!.length), 0));
  const tooLong = widths.reduce((sum, width) => sum + width + 1, -1) - LINE;
  if (tooLong > 0) {
    widths[NAME_COLUMN] = Math.max(LEAST_NAME, widths[NAME_COLUMN]! - tooLong);
    for (const line of cells) line[NAME_COLUMN] = cut(line[NAME_COLUMN]!, widths[NAME_COLUMN]);
  }
  const isNumber = [0, 6, 7];
  return cells
    .map((line) =>
      line
        .map((text, i) => (isNumber.includes(i) ? text.padStart(widths[i]!) : text.padEnd(widths[i]!)))
        .join(' ')
        .trimEnd(),
    )
    .join('\n');
}

const seenWords = ({ verdict, pull, ink, paper, pressure, photo, words }: Seen): string =>
  [
    verdict,
    pull === undefined ? undefined : `pull ${pull}`,
    ink && `ink: ${ink}`,
    paper && `paper: ${paper}`,
    pressure && `pressure: ${pressure}`,
    photo && `photo: ${photo}`,
    words,
  ]
    .filter(Boolean)
    .join('; ');

/** The age of a curve on the day of the run. */
const ageWords = (days: number): string =>
  `${days === 1 ? '1 day' : `${days} days`} old${days > FRESH_DAYS ? `, more than ${FRESH_DAYS}: it was to be measured again` : ''}`;

/** A page as people read it. */
export function pageText(page: Page, talk: Talk): string {
  const { number, plate, notes } = page;
  const { screen, material, coverage, curve, passes, timeS } = plate;
  const line = (label: string, text: string): string => row(label, text, talk);
  const kind = material?.kind && material.kind !== material.id ? ` (${material.kind})` : '';
  const batch = material?.batch ? `, batch ${material.batch}` : '';
  return [
    wrap(
      `${number}  ${talk.paint.bold(plate.name)}, ${plate.at.slice(0, 16).replace('T', ' ')} UTC, id ${plate.id}${plate.made ? '' : ', refused'}`,
      4,
    ),
    line('picture', plate.input.name),
    line(
      'plate',
      `${plate.plate.process}, ${num(plate.plate.widthMm, 2)} × ${num(plate.plate.heightMm, 2)} mm at ${num(plate.plate.dpi, 3)} dpi`,
    ),
    line('screen', screen.kind),
    line(
      'etched',
      `${percent(coverage.etched)}${coverage.predicted === null ? '' : `; about ${percent(coverage.predicted)} after the spot`}`,
    ),
    ...(material ? [line('sheet', `${material.id}${kind}${batch}`)] : []),
    ...(plate.machine ? [line('machine', plate.machine)] : []),
    ...(curve
      ? [line('curve', `${curve.name}, measured on ${curve.measuredOn}, ${ageWords(curve.ageDays)}`)]
      : []),
    ...(timeS === null ? [] : [line('time', `${clock(timeS)}${passes ? ` in ${passes} passes` : ''}`)]),
    ...plate.cautions.map(({ severity, text }) => line(severity === 'stop' ? 'stop' : 'caution', text)),
    ...(plate.note ? [line('note', plate.note)] : []),
    ...notes.map(({ at, seen }) => line('seen', `${at.slice(0, 10)}: ${seenWords(seen)}`)),
  ].join('\n');
}

const told = (value: unknown): string => {
  if (value === null) return 'not set';
  if (typeof value === 'number') return num(value, 4);
  const text = typeof value === 'string' ? value : JSON.stringify(value);
  return /^[0-9a-f]{64}$/.test(text) ? `${text.slice(0, 12)}…` : text;
};

const changeLines = (title: string, changes: readonly Change[]): string[] => {
  if (changes.length === 0) return [`${title}: nothing`];
  const width = Math.max(...changes.map(({ what }) => what.length)) + 2;
  return [
    `${title}:`,
    ...changes.map(
      ({ what, from, to }) => `  ${what.padEnd(width)}${wrap(`${told(from)} → ${told(to)}`, width + 2)}`,
    ),
  ];
};

/** Two tries beside each other, only what is not the same. */
export function comparisonText(
  a: Page,
  b: Page,
  { changed, came, sameBits, ...cautions }: Comparison,
): string {
  return [
    wrap(
      `${a.number} ${a.plate.name} → ${b.number} ${b.plate.name}: ${sameBits ? 'the same bits' : 'other bits'}`,
      2,
    ),
    ...changeLines('done otherwise', changed),
    ...changeLines('came of it', came),
    ...cautions.goneCautions.map((text) => wrap(`no more: ${text}`, 2)),
    ...cautions.newCautions.map((text) => wrap(`now: ${text}`, 2)),
    ...[a, b].flatMap(({ number, notes }) =>
      notes.map(({ seen }) => wrap(`seen of ${number}: ${seenWords(seen)}`, 2)),
    ),
  ].join('\n');
}

const MOST_FAULTS = 5;

/** Lines that could not be read, told beside any result: the first few, and how many there are. */
export const faultLines = (path: string, faults: readonly Fault[]): string[] => [
  ...faults.slice(0, MOST_FAULTS).map(({ line, what }) => `${path}, line ${line} is passed over: ${what}`),
  ...(faults.length > MOST_FAULTS
    ? [`${path}: ${faults.length - MOST_FAULTS} further lines are passed over`]
    : []),
];
