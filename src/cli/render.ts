import type { Report } from '../report/schema.ts';
import type { Talk } from './talk.ts';

const WIDTH = 80;
const LABEL = 10;
const BAR = 24;

const num = (value: number, digits = 1): string => String(Number(value.toFixed(digits)));
const percent = (share: number): string => `${num(share * 100)} %`;

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

function bar(share: number): string {
  const full = Math.round(share * BAR);
  return '█'.repeat(full) + '░'.repeat(BAR - full);
}

const SEVERITY = { stop: 'stop', warn: 'caution', note: 'note' } as const;

function cautionLines(report: Report, talk: Talk): string[] {
  const order = ['stop', 'warn', 'note'] as const;
  const colours = { stop: talk.paint.red, warn: talk.paint.yellow, note: talk.paint.dim };
  return order.flatMap((severity) =>
    report.cautions
      .filter((caution) => caution.severity === severity)
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
  const matrix = plate.process === 'relief' ? 'relief block' : 'intaglio plate';
  const row = (label: string, text: string): string =>
    `  ${talk.paint.dim(label.padEnd(LABEL))}${wrap(text, LABEL + 2)}`;
  const reads = plate.mirrored
    ? 'plate-reading (mirrored already: do not mirror it again)'
    : 'print-reading (not mirrored)';
  return [
    `${talk.paint.bold(input.name)} → ${refused ? 'refused: ' : ''}${matrix}, ${num(plate.widthMm, 2)} × ${num(plate.heightMm, 2)} mm`,
    row(
      'pixels',
      `${plate.widthPx} × ${plate.heightPx} at ${num(plate.dpi, 3)} dpi, pitch ${num(plate.pitchMm, 4)} mm`,
    ),
    row('reads', reads),
    row(
      'etched',
      `${bar(coverage.etched)} ${percent(coverage.etched)} of the plate; ${coverage.inked === coverage.etched ? 'that' : percent(coverage.inked)} prints`,
    ),
    row('screen', screenWords(report)),
    row(
      'picture',
      `${input.widthPx} × ${input.heightPx} px ${input.format}, ${num(plate.sourcePpi, 0)} ppi on the plate`,
    ),
    ...(report.files.some(({ fire }) => fire === 'light')
      ? [row('fires', 'on light pixels, not dark ones: see that the machine does, too')]
      : []),
    ...(passes ? [row('passes', passesWords(passes))] : []),
    ...cautionLines(report, talk),
  ].join('\n');
}

function passesWords({ count, depthMm, depthPerPassMm }: NonNullable<Report['passes']>): string {
  if (depthMm === null || depthPerPassMm === null) return String(count);
  return `${count} for ${num(depthMm, 3)} mm at ${num(depthPerPassMm, 3)} mm a pass (from memory: measure your own)`;
}
