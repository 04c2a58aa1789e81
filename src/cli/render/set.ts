import { aidWords, setSizeWords, untimedWords } from '../../report/set/aid.ts';
import { blockWords } from '../../report/set/block.ts';
import { cutWords } from '../../report/set/cut.ts';
import { registerWords } from '../../report/set/register.ts';
import type { SetReport } from '../../report/set/schema.ts';
import { toldOfPlates } from '../../report/set/told.ts';
import { clock, num, percent } from '../../report/words.ts';
import type { Talk } from '../talk.ts';
import { cautionLines, row } from './run.ts';

function totalWords({ totals, plates, aid }: SetReport): string {
  if (totals.timeS === null) return 'not known';
  const longest = Math.max(...plates.map(({ report }) => report.time?.totalS ?? 0));
  const slots =
    totals.slots === null
      ? 'at least one plate does not fit a slot'
      : `${totals.slots} ${totals.slots === 1 ? 'slot' : 'slots'} if no plate is divided`;
  return `about ${clock(totals.timeS)} min for all, ${clock(longest)} the longest${untimedWords(aid)}; ${slots}`;
}

/** What was made of a set, for 80 columns. */
export function setTable(report: SetReport, refused: boolean, talk: Talk): string {
  const { name, canvas, plates, sheets, separation, register, aid, cut, block } = report;
  const line = (label: string, text: string): string => row(label, text, talk);
  return [
    `${talk.paint.bold(name)} → ${refused ? 'refused: ' : ''}${setSizeWords(report)}, ${num(canvas.dpi, 3)} dpi${separation ? `, by ${separation.kind}` : ''}`,
    ...plates.map(({ number, name: plate, ink, report: { plate: made, screen, coverage, time } }) =>
      line(
        `${number}.`,
        `${plate} (${ink.colour}${ink.opaque ? '' : ', transparent'}): ${made.process}, ${screen.kind}, ${percent(coverage.etched)} etched${time ? `, about ${clock(time.totalS)} min` : ''}`,
      ),
    ),
    line('time', totalWords(report)),
    ...(aid ? [line('aid', aidWords(aid))] : []),
    ...(block ? [line('block', blockWords(block))] : []),
    ...(cut ? [line('pieces', cutWords(cut))] : []),
    ...(register ? [line('register', registerWords(register))] : []),
    ...(sheets
      ? [
          line(
            'sheets',
            `start with ${sheets.start} for ${sheets.edition + sheets.proofs}, at ${num(sheets.lossPercent)} % lost in each of ${sheets.printings} printings`,
          ),
        ]
      : []),
    ...cautionLines(report.cautions, talk),
    ...cautionLines(toldOfPlates(plates, ['stop', 'warn']), talk),
  ].join('\n');
}
