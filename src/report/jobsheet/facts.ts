import { materialOfKind } from '../../core/materials/index.ts';
import type { ProcessKind } from '../../core/processes/index.ts';
import type { Draws } from '../../core/screens/contract.ts';
import type { Report } from '../schema.ts';
import {
  beamWords,
  clearingWords,
  dryWords,
  num,
  outlineWords,
  passesWords,
  percent,
  pictureWords,
  pixelWords,
  readsWords,
  screenWords,
  sizeWords,
  timeWords,
} from '../words.ts';
import { at } from './axis.ts';
import { bidi, html, type Markup, type Piece } from './html.ts';
import { processSheets } from './steps.ts';
import type { Told } from './told.ts';

/** A line to be filled in by hand. */
export const blank: Markup = html`<span class="blank"></span>`;

const row = (label: string, value: Piece): Markup =>
  html`<tr><th scope="row">${label}</th><td>${value}</td></tr>`;

const table = (caption: string, rows: readonly (Markup | null)[]): Markup =>
  html`<table class="facts"><caption>${caption}</caption><tbody>${rows}</tbody></table>`;

const BAR = { widthMm: 24, heightMm: 3 };

/** A share as a bar that prints without background colours. */
const bar = (share: number): Markup =>
  html`<svg class="bar" width="${BAR.widthMm}mm" height="${BAR.heightMm}mm" viewBox="0 0 ${BAR.widthMm} ${BAR.heightMm}" aria-hidden="true"><rect width="${at(Math.min(1, Math.max(0, share)) * BAR.widthMm)}" height="${BAR.heightMm}"/><rect class="frame" x="0.1" y="0.1" width="${BAR.widthMm - 0.2}" height="${BAR.heightMm - 0.2}"/></svg>`;

function coverage(report: Report): Markup[] {
  const { etched, inked, predicted } = report.coverage;
  return [
    row('etched', html`${bar(etched)} ${percent(etched)} in the file`),
    ...(predicted === null ? [] : [row('by the beam', html`${bar(predicted)} ${beamWords(report)}`)]),
    row('prints', html`${bar(inked)} ${percent(inked)} by the file`),
  ];
}

const PIXELS = { dark: 'black', light: 'white' } as const;

const FIRES: Readonly<Record<Draws, (fires: keyof typeof PIXELS) => string>> = {
  bits: (fires) => `on ${fires} pixels: what is ${PIXELS[fires]} in the file is etched`,
  tone: (fires) => `hardest on ${fires} pixels: ${PIXELS[fires]} is etched in full, greys in part`,
};

/** What the machine room wants to know. */
export function machineFacts(report: Report, told: Told): Markup {
  const { plate, passes, time, files, workshop } = report;
  const stored = files.filter(({ role }) => role === 'plate');
  return table('For the machine', [
    stored.length === 0
      ? null
      : row(
          'file',
          stored.map(({ name }, i) => [i === 0 ? '' : ', ', bidi(name)]),
        ),
    row('size', html`<b>${sizeWords(plate)}</b>${plate.printMm ? `; ${dryWords(plate)}` : ''}`),
    row('pixels', pixelWords(plate)),
    row('reads', html`<b>${readsWords(plate)}</b>`),
    row('fires', told.fires === null ? blank : FIRES[told.draws](told.fires)),
    report.outline && row('outline', outlineWords(report.outline)),
    row('passes', passes ? passesWords(passes) : blank),
    passes?.clearing ? row('clearing', clearingWords(passes.clearing)) : null,
    row('time', time ? timeWords(time, passes?.count ?? null) : blank),
    time && row('rests on', bidi(time.basis)),
    row('machine', [bidi(workshop.machine ?? 'not named'), ', ', bidi(workshop.name)]),
  ]);
}

/** What it is made of, who says so, and what this kind of sheet wants. */
export function sheetFacts({ material }: Report, thicknessMm: number | null): Markup {
  const notes = (material?.kind && materialOfKind(material.kind)?.sheetNotes) || [];
  const kind = material?.kind && material.kind !== material.id ? ` (${material.kind})` : '';
  return table('The sheet', [
    row('material', material ? html`${bidi(material.id)}${kind}` : blank),
    row('thickness', thicknessMm === null ? html`${blank} mm` : `${num(thicknessMm, 2)} mm`),
    material?.batch ? row('batch', bidi(material.batch)) : null,
    row('confirmed by', material?.confirmedBy ? bidi(material.confirmedBy) : blank),
    ...notes.map(({ what, text, blank: asks }) =>
      row(what, asks === null ? text : html`${text}; ${asks} ${blank}`),
    ),
  ]);
}

/** What it will do, and what it came from. */
export function plateFacts(report: Report, told: Told): Markup {
  const { plate, screen, input } = report;
  const { polarity } = processSheets[plate.process as ProcessKind];
  const tones = told.draws === 'bits' && screen.tones !== null ? `; ${screen.tones} tones` : '';
  return table('What it is', [
    row('process', polarity),
    row('screen', bidi(`${screenWords(report)}${tones}`)),
    ...coverage(report),
    row('picture', [bidi(input.name), ', ', bidi(pictureWords(report))]),
    input.permission === null ? null : row('permission', bidi(input.permission)),
  ]);
}
