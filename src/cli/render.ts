import { type ProcessKind, processes } from '../core/processes/index.ts';
import { SAFETY } from '../report/safety-cautions.ts';
import type { Report } from '../report/schema.ts';
import type { Talk } from './talk.ts';

const WIDTH = 80;
const LABEL = 10;
const BAR = 24;

export const num = (value: number, digits = 1): string => String(Number(value.toFixed(digits)));
export const percent = (share: number): string => `${num(share * 100)} %`;

/** Breaks words into lines that fit 80 columns, the following ones indented. */
function wrap(text: string, indent: number, width = WIDTH): string {
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
  `  ${talk.paint.dim(label.padEnd(LABEL))}${wrap(text, LABEL + 2)}`;

const SEVERITY = { stop: 'stop', warn: 'caution', note: 'note' } as const;

export function cautionLines(cautions: Report['cautions'], talk: Talk): string[] {
  const order = ['stop', 'warn', 'note'] as const;
  const colours = { stop: talk.paint.red, warn: talk.paint.yellow, note: talk.paint.dim };
  return order.flatMap((severity) =>
    cautions
      // the room's own rules are told here; the reminders behind them stand in the report
      .filter(({ severity: grade, code }) => grade === severity && !code.startsWith(`${SAFETY}-`))
      .map(({ text, cure }) => {
        const label = colours[severity](SEVERITY[severity].padEnd(LABEL));
        return `  ${label}${wrap(`${text}. ${cure}`, LABEL + 2)}`;
      }),
  );
}

function screenWords(report: Report): string {
  const { kind, tones, ...params } = report.screen;
  const words = Object.entries(params).map(([key, value]) =>
    key.endsWith('Percent') ? `${key.replace('Percent', '')} ${String(value)} %` : `${key} ${String(value)}`,
  );
  return [kind, ...words].join(', ');
}

/** The short readable summary of one plate, for 80 columns, with or without colour. */
export function summary(report: Report, refused: boolean, talk: Talk): string {
  const { plate, input, coverage, passes } = report;
  const matrix = `${plate.process} ${processes[plate.process as ProcessKind].matrix}`;
  const line = (label: string, text: string): string => row(label, text, talk);
  const reads = plate.mirrored
    ? 'plate-reading (mirrored already: do not mirror it again)'
    : 'print-reading (not mirrored)';
  return [
    `${talk.paint.bold(input.name)} → ${refused ? 'refused: ' : ''}${matrix}, ${num(plate.widthMm, 2)} × ${num(plate.heightMm, 2)} mm`,
    line(
      'pixels',
      `${plate.widthPx} × ${plate.heightPx} at ${num(plate.dpi, 3)} dpi, pitch ${num(plate.pitchMm, 4)} mm`,
    ),
    line('reads', reads),
    line(
      'etched',
      `${coverageBar(coverage.etched)} ${percent(coverage.etched)} of the plate; ${coverage.inked === coverage.etched ? 'that' : percent(coverage.inked)} prints`,
    ),
    ...(coverage.predicted === null ? [] : [line('beam', beamWords(report))]),
    line('screen', screenWords(report)),
    line(
      'picture',
      `${input.widthPx} × ${input.heightPx} px ${input.format}, ${num(plate.sourcePpi, 0)} ppi on the plate`,
    ),
    ...(report.files.some(({ fire }) => fire === 'light')
      ? [line('fires', 'on light pixels, not dark ones: see that the machine does, too')]
      : []),
    ...(passes ? [line('passes', passesWords(passes))] : []),
    ...(report.time ? [line('time', timeWords(report.time, passes?.count ?? null))] : []),
    ...cautionLines(report.cautions, talk),
  ].join('\n');
}

const beamWords = ({ coverage, job }: Report): string =>
  `about ${percent(coverage.predicted ?? 0)} will really be etched${job['spotMm'] === undefined ? ', if the spot is as taken for granted' : ''}`;

const clock = (seconds: number): string =>
  `${Math.floor(Math.round(seconds) / 60)}:${String(Math.round(seconds) % 60).padStart(2, '0')}`;

export function timeWords(time: NonNullable<Report['time']>, passes: number | null): string {
  const what = passes === null ? 'one pass' : passes === 1 ? '1 pass' : `${passes} passes`;
  const left = time.slotS - time.totalS;
  const fit = time.fits
    ? `fits a slot of ${num(time.slotS / 60, 0)} min with ${num(left / 60, 0)} to spare`
    : 'does not fit the slot';
  return `about ${clock(time.totalS)} min for ${what}; ${fit}`;
}

const PASS_BASIS = {
  given: '',
  measured: '',
  'common-practice': ' (common practice: measure your own)',
  'from-memory': ' (from memory: measure your own)',
} as const;

function passesWords({ count, depthMm, depthPerPassMm, basis }: NonNullable<Report['passes']>): string {
  if (depthMm === null || depthPerPassMm === null) return String(count);
  return `${count} for ${num(depthMm, 3)} mm at ${num(depthPerPassMm, 3)} mm a pass${basis ? PASS_BASIS[basis] : ''}`;
}
