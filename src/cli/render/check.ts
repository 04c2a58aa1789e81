import { percent, pixelWords, sizeWords, timeWords } from '../../report/words.ts';
import type { Checked } from '../../run/plate/check.ts';
import { oneLine } from '../shown.ts';
import type { Talk } from '../talk.ts';
import { cautionLines, coverageBar, row } from './run.ts';

/** What was measured on one plate file, for 80 columns. */
export function checkTable({ report, written }: Checked, talk: Talk): string {
  const { plate, input, coverage, polarity, time, passes, hold } = report;
  const line = (label: string, text: string): string => row(label, text, talk);
  const looked = hold?.checks.map(({ code, count }) => `${code} ${count === 0 ? 'none' : count}`) ?? [];
  return [
    `${talk.paint.bold(oneLine(input.name))}: ${sizeWords(plate)}, held against ${plate.process}`,
    line('pixels', pixelWords(plate)),
    line('etched', `${coverageBar(coverage.etched)} ${percent(coverage.etched)} (the ${plate.fire} pixels)`),
    ...(coverage.predicted === null
      ? []
      : [line('beam', `about ${percent(coverage.predicted)} will really be etched`)]),
    line(
      'looks',
      `${polarity.guess === 'either' ? 'like either process' : `like ${polarity.guess}`}; ${polarity.basis}`,
    ),
    ...(time ? [line('time', timeWords(time, passes?.count ?? null))] : []),
    ...(looked.length > 0 ? [line('hold', looked.join(', '))] : []),
    ...(written.length > 0 ? [line('files', written.join(', '))] : []),
    ...cautionLines(report.cautions, talk),
  ].join('\n');
}
