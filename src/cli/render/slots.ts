import type { SlotsReport } from '../../report/slots-schema.ts';
import { clock, num } from '../../report/words.ts';
import type { Talk } from '../talk.ts';
import { row } from './run.ts';

const WIDTH = 80;
const INDENT = 12;

type Part = SlotsReport['slots'][number]['parts'][number];

const pieces = (count: number, one: string): string => `${count} ${one}${count === 1 ? '' : 's'}`;

/** `ferry, passes 2 to 4 of 4, clearing`; a sheet that is run whole needs no passes told. */
function partWords({ sheets }: SlotsReport, { sheet, name, fromPass, toPass }: Part): string {
  const { passes } = sheets[sheet]!;
  const kinds = [...new Set(passes.slice(fromPass - 1, toPass).map(({ kind }) => kind))].join(' and ');
  if (toPass - fromPass + 1 === passes.length)
    return passes.length === 1
      ? name
      : `${name}, ${passes.length} passes${kinds === 'fine' ? '' : `, ${kinds}`}`;
  const which = fromPass === toPass ? `pass ${fromPass}` : `passes ${fromPass} to ${toPass}`;
  return `${name}, ${which} of ${passes.length}, ${kinds}`;
}

/** A line with its minutes at the right margin. */
function timed(text: string, seconds: number): string {
  const minutes = clock(seconds);
  return `${' '.repeat(INDENT)}${text.padEnd(WIDTH - INDENT - minutes.length - 2)}  ${minutes}`;
}

const PARTED = {
  clearing: 'a misfit smaller than the inset of the clearing plate does no harm',
  fine: 'passes of the plate itself must meet to the pixel',
} as const;

/** The plan of slots, for 80 columns. */
export function slotsTable(report: SlotsReport, talk: Talk): string {
  const { sheets, slots, fits, changeS, dropped, parted, needed, best } = report;
  const line = (label: string, text: string): string => row(label, text, talk);
  const outcome = fits
    ? 'all fit'
    : `${dropped.length} of them ${dropped.length === 1 ? 'finds' : 'find'} no room`;
  return [
    talk.paint.bold(`${pieces(sheets.length, 'sheet')} into ${pieces(slots.length, 'slot')}: ${outcome}`),
    ...slots.flatMap(({ lengthS, usedS, spareS, parts }, n) => [
      line(
        `slot ${n + 1}`,
        parts.length === 0
          ? `${num(lengthS / 60)} min, not needed`
          : `${num(lengthS / 60)} min: ${clock(usedS)} taken, ${clock(spareS)} to spare besides the reserve`,
      ),
      ...parts.flatMap((part, at) => [
        ...(at > 0 && changeS > 0 ? [timed('change of sheet', changeS)] : []),
        timed(partWords(report, part), part.timeS),
      ]),
    ]),
    ...parted.map(({ name, beforePass, kind }) =>
      line(
        'parted',
        `${name} comes off the bed before pass ${beforePass} and must come back in register, with a corner stop: ${PARTED[kind]}.`,
      ),
    ),
    ...dropped.map(({ name, totalS }) => line('left out', `${name}, ${clock(totalS)} min`)),
    ...(fits
      ? []
      : [
          line(
            'needed',
            needed === null
              ? 'no number of these slots: a pass is longer than any, and is never parted'
              : `${pieces(needed.slots, 'slot')}: ${needed.slots - slots.length} more of ${num(needed.ofS / 60)} min`,
          ),
        ]),
    ...(best ? [] : [line('note', 'There are too many ways to try them all: a better plan may exist.')]),
    line('note', 'The machine’s own figures rule; somebody stays beside it for the whole run.'),
  ].join('\n');
}
