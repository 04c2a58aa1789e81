import { num } from '../../report/words.ts';
import type { Change, Comparison } from '../../store/notebook/changes.ts';
import type { Seen } from '../../store/notebook/entry.ts';
import { kindOf } from '../../store/notebook/kinds/index.ts';
import type { Page } from '../../store/notebook/pages.ts';
import type { Fault } from '../../store/read-line.ts';
import type { Talk } from '../talk.ts';
import { linesOfEntry } from './notebook-lines.ts';
import { row, wrap } from './run.ts';

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

/** A page as people read it. */
export function pageText({ number, entry, notes }: Page, talk: Talk): string {
  const line = (label: string, text: string): string => row(label, text, talk);
  const at = entry.at.slice(0, 16).replace('T', ' ');
  return [
    wrap(
      `${number}  ${talk.paint.bold(entry.name)}, ${at} UTC, id ${entry.id}${entry.made ? '' : `, ${kindOf(entry).unmade}`}`,
      4,
    ),
    ...linesOfEntry(entry).map(([label, words]) => line(label, words)),
    ...entry.cautions.map(({ severity, text }) => line(severity === 'stop' ? 'stop' : 'caution', text)),
    ...(entry.note ? [line('note', entry.note)] : []),
    ...notes.map(({ at: seenAt, seen }) => line('seen', `${seenAt.slice(0, 10)}: ${seenWords(seen)}`)),
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
  { changed, came, sameKind, sameBits, ...cautions }: Comparison,
): string {
  const [one, other] = [a, b].map(({ entry }) => kindOf(entry).called);
  const found = !sameKind
    ? `${one} and ${other}; only what both have is compared`
    : sameBits === null
      ? one
      : sameBits
        ? 'the same bits'
        : 'other bits';
  return [
    wrap(`${a.number} ${a.entry.name} → ${b.number} ${b.entry.name}: ${found}`, 2),
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
