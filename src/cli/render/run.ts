import { SAFETY } from '../../report/cautions/safety.ts';
import type { Report } from '../../report/schema.ts';
import {
  beamWords,
  clearingWords,
  curveWords,
  dryWords,
  filesWords,
  matrixWords,
  outlineWords,
  passesWords,
  percent,
  pictureWords,
  pixelWords,
  readsWords,
  SEVERITIES,
  screenWords,
  sizeWords,
  timeWords,
} from '../../report/words.ts';
import { oneLine } from '../shown.ts';
import type { Talk } from '../talk.ts';

const WIDTH = 80;
const LABEL = 10;
const BAR = 24;

/** Breaks words into lines that fit 80 columns, the following ones indented. */
export function wrap(text: string, indent: number, width = WIDTH): string {
  const lines: string[] = [];
  let line = '';
  for (const word of text.split(' ')) {
    if (line !== '' && indent + line.length + 1 + word.length > width) {
      lines.push(line);
      line = word;
    } else line = line === '' ? word : `${line} ${word}`;
  }
  lines.push(line);
  return lines.join(`\n${' '.repeat(indent)}`);
}

export function coverageBar(share: number): string {
  const full = Math.round(share * BAR);
  return '█'.repeat(full) + '░'.repeat(BAR - full);
}

/** A labelled line, wrapped and indented. */
export const row = (label: string, text: string, talk: Talk): string =>
  `  ${talk.paint.dim(label.padEnd(LABEL))}${wrap(oneLine(text), LABEL + 2)}`;

export function cautionLines(cautions: Report['cautions'], talk: Talk): string[] {
  const colours = { stop: talk.paint.red, warn: talk.paint.yellow, note: talk.paint.dim };
  return SEVERITIES.flatMap(([severity, word]) =>
    cautions
      // the room's own rules are told here; the reminders behind them stand in the report
      .filter(({ severity: grade, code }) => grade === severity && !code.startsWith(`${SAFETY}-`))
      .map(({ text, cure }) => {
        const label = colours[severity](word.padEnd(LABEL));
        return `  ${label}${wrap(oneLine(`${text}. ${cure}`), LABEL + 2)}`;
      }),
  );
}

/** The short readable summary of one plate, for 80 columns, with or without colour. */
export function summary(report: Report, refused: boolean, talk: Talk): string {
  const { plate, input, coverage, passes } = report;
  const line = (label: string, text: string): string => row(label, text, talk);
  return [
    `${talk.paint.bold(oneLine(input.name))} → ${refused ? 'refused: ' : ''}${matrixWords(plate)}, ${sizeWords(plate)}${plate.printMm ? `; ${dryWords(plate)}` : ''}`,
    line('pixels', pixelWords(plate)),
    line('reads', readsWords(plate)),
    line(
      'etched',
      `${coverageBar(coverage.etched)} ${percent(coverage.etched)} of the plate; ${coverage.inked === coverage.etched ? 'that' : percent(coverage.inked)} prints`,
    ),
    ...(coverage.predicted === null ? [] : [line('beam', beamWords(report))]),
    line('screen', screenWords(report)),
    ...(report.curve === null ? [] : [line('curve', curveWords(report.curve))]),
    ...(report.screen.why === undefined ? [] : [line('chosen', report.screen.why)]),
    line('picture', pictureWords(report)),
    ...(report.files.some(({ fire }) => fire === 'light')
      ? [line('fires', 'on light pixels, not dark ones: see that the machine does, too')]
      : []),
    ...(passes ? [line('passes', passesWords(passes))] : []),
    ...(passes?.clearing ? [line('clearing', clearingWords(passes.clearing))] : []),
    ...(report.time ? [line('time', timeWords(report.time, passes?.count ?? null))] : []),
    ...(report.outline ? [line('outline', outlineWords(report.outline))] : []),
    ...(report.files.length > 0 ? [line('files', filesWords(report.files))] : []),
    ...cautionLines(report.cautions, talk),
  ].join('\n');
}
