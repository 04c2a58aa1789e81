import type { GangReport } from '../../report/gang/schema.ts';
import { clock, counted, num, percent, sizeWords, timeWords } from '../../report/words.ts';
import type { Talk } from '../talk.ts';
import { cautionLines, row } from './run.ts';

function outlineLines({ sheets }: GangReport, talk: Talk): string[] {
  const drawn = sheets.flatMap(({ outline }) => outline ?? []);
  const [first] = drawn;
  if (!first) return [];
  const count = drawn.reduce((sum, { plates }) => sum + plates.length, 0);
  const mm = drawn.reduce((sum, { lengthMm }) => sum + lengthMm, 0);
  const what =
    first.as === 'cut' ? `to cut, kerf ${num(first.kerfMm, 3)} mm` : `a ${first.as}, not to be cut`;
  return [row('outlines', `around ${count}, ${num(mm / 1000, 1)} m: ${what}`, talk)];
}

/** What was made of several plates, for 80 columns. */
export function gangTable(report: GangReport, refused: boolean, talk: Talk): string {
  const { sheet, sheets, arrangement, process, passes, dpi } = report;
  const { plates, share, leastSheets, totalS, singlyS } = arrangement;
  const line = (label: string, text: string): string => row(label, text, talk);
  return [
    `${talk.paint.bold(counted(plates, 'plate'))} → ${refused ? 'refused: ' : ''}${counted(sheets.length, 'sheet')} of ${sizeWords(sheet)}, ${process}, ${num(dpi, 3)} dpi`,
    ...sheets.map(({ number, placed, raster, time }) =>
      line(
        `sheet ${number}`,
        `${counted(placed.length, 'plate')} on ${sizeWords(raster)}${time ? `; ${timeWords(time, passes?.count ?? null)}` : ''}`,
      ),
    ),
    line(
      'used',
      `${percent(share)} of the sheets; no arrangement takes fewer than ${counted(leastSheets, 'sheet')}`,
    ),
    line('time', `about ${clock(totalS)} min in all; singly ${clock(singlyS)}`),
    line('lay', 'each file with its upper left corner on that of the sheet; do not mirror it again'),
    ...outlineLines(report, talk),
    ...cautionLines(report.cautions, talk),
  ].join('\n');
}
