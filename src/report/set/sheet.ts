import { bidi, html, listed, type Markup } from '../jobsheet/html.ts';
import { STYLE } from '../jobsheet/style.ts';
import { clock, num, percent, SEVERITIES, sizeWords } from '../words.ts';
import { aidNotes, aidWords, setSizeWords, untimedWords } from './aid.ts';
import { timeSoFar } from './block.ts';
import { type CutFacts, cutWords } from './cut.ts';
import { registerWords, worstWords } from './register.ts';
import type { SetReport } from './schema.ts';
import { toldOfPlates } from './told.ts';

/** Ways back to the same place on the bed; common practice. */
const BACK_TO_BED = [
  'Before the first cut fix a corner stop to the bed, and do not move it until the last stage is cut.',
  'Draw an arrow on the back of the block, and lay it into the stop the same way each time.',
  'Clean and dry the block before it goes back; measure its height again, since ink and pressing change it.',
  'Let the machine trace the outline without firing, and look whether it runs along the block’s edge.',
];

const PRINTING = [
  'Number the sheets on the back, and keep them in that order at every printing, so that faults fall on the same sheets.',
  'Lay every sheet to the same marks, the same corner first.',
  'Let each colour dry as far as the next one needs before printing on.',
];

/** What pieces want at the machine and at the press; common practice. */
const OF_PIECES = {
  plates: {
    machine: [
      'Take sheets larger than the canvas: its edge is cut too, and what is left around it is the frame that the pieces are put together in.',
      'Engrave first and cut last, without moving the sheet; lines and engraving have the same corner.',
      'Before a piece is lifted, write its number and the arrow on its back as the map of the backs has them.',
    ],
    press: [
      'Ink every piece by itself, away from the others; wipe its edges.',
      'Put them together face up, arrows to the head, and bring them to one height.',
      'Print them all in one go.',
    ],
  },
  paper: {
    machine: [
      'Lay the thin paper the way its grain was measured, and its face as the settings say; hold it flat, and let staff judge whether it is cut by the beam at all.',
      'Number the backs of the shapes by the map before they are mixed.',
    ],
    press: [
      'Damp the shapes, and paste their backs.',
      'Lay each face down on the inked plate, paste up, where the map of the backs has it; the printing paper comes over them.',
    ],
  },
} as const;

const blockSection = (block: NonNullable<SetReport['block']>, plates: SetReport['plates']): Markup =>
  html`<section><h2>The block, cut by cut</h2>
<table class="stack"><caption>What holds is judged on the block as it stands at each printing</caption>
<thead><tr><th scope="col">before</th><th scope="col">cut now</th><th scope="col">left standing</th><th scope="col">at the machine so far</th></tr></thead>
<tbody>${block.states.map(({ cut, standing, timeS }, i) => html`<tr><td>${bidi(plates[i]!.name)}</td><td>${percent(cut)}</td><td>${percent(standing)}</td><td>${timeSoFar(timeS)}</td></tr>`)}</tbody></table></section>`;

const pieceRow = ({ id, ink, sheet, at, widthMm, heightMm, sideMm }: CutFacts['pieces'][number]): Markup =>
  html`<tr><td>${id}</td><td>${ink === null ? 'bare' : bidi(ink)}</td><td>${bidi(sheet)}</td><td>${num(at.xMm, 1)}, ${num(at.yMm, 1)}</td><td>${num(widthMm, 1)} × ${num(heightMm, 1)}</td><td>${num(sideMm, 1)}</td><td><span class="blank"></span></td></tr>`;

function piecesSection(cut: CutFacts, files: SetReport['files']): Markup {
  const names = files.filter(({ role }) => role === 'cut' || role === 'backs').map(({ name }) => bidi(name));
  return html`<section><h2>Pieces</h2><p>${cutWords(cut)}.</p>
<table class="stack"><caption>As they stand on the map of the backs; places on the print in mm from its upper left</caption>
<thead><tr><th scope="col">id</th><th scope="col">ink</th><th scope="col">sheet</th><th scope="col">at, mm</th><th scope="col">cut to, mm</th><th scope="col">square in it, mm</th><th scope="col">done</th></tr></thead>
<tbody>${cut.pieces.map(pieceRow)}</tbody></table>
<p>Lines: ${names.map((name, i) => html`${i > 0 ? ', ' : ''}${name}`)}. Pages leave ${num(cut.marginMm)} mm around the sheet.</p></section>`;
}

function plateRow({ number, name, ink, report }: SetReport['plates'][number]): Markup {
  const { time, coverage, bitsSha256, plate, files } = report;
  const file = files.find(({ role }) => role === 'plate')?.name ?? '';
  return html`<tr><td>${number}</td><td><svg width="5mm" height="4mm"><rect width="100%" height="100%" fill="${ink.colour}" stroke="#000"/></svg> <b>${bidi(name)}</b></td><td>${ink.colour}, ${ink.opaque ? 'opaque' : 'transparent'}</td><td>${plate.process}</td><td>${bidi(file)}${plate.printMm ? html`<br/>${sizeWords(plate)}` : null}<br/><span class="hash">${bitsSha256.slice(0, 8)}</span></td><td>${percent(coverage.etched)}</td><td>${time ? `${clock(time.totalS)} min` : '–'}</td><td><span class="blank"></span></td></tr>`;
}

const cautionsOf = (cautions: SetReport['cautions']): Markup =>
  html`<ul class="cautions">${SEVERITIES.flatMap(([severity, word]) =>
    cautions
      .filter((one) => one.severity === severity)
      .map(
        ({ text, cure }) =>
          html`<li class="${severity}"><span class="grade">${word}</span> ${text}. ${cure}</li>`,
      ),
  )}</ul>`;

function totalWords({ totals, plates, aid }: SetReport): string {
  const counted = `${plates.length} ${plates.length === 1 ? 'plate' : 'plates'}`;
  if (totals.timeS === null) return counted;
  const slots =
    totals.slots === null
      ? 'at least one plate does not fit a slot'
      : `${totals.slots} ${totals.slots === 1 ? 'slot' : 'slots'} if no plate is divided`;
  return `${counted}, about ${clock(totals.timeS)} min at the machine${untimedWords(aid)}; ${slots}`;
}

/** How plates and sheets are laid, how true they must lie, and what shows it. */
function registerSection({ aid, register, files }: SetReport): Markup | null {
  const worst = register && worstWords(register);
  const named = (role: string): string | undefined => files.find((file) => file.role === role)?.name;
  const shown = (
    [
      ['register', 'map of where paper shows if a plate lies off'],
      ['bed', 'template for the bed, at its true size: print it without scaling'],
      ['jig', 'the jig'],
    ] as const
  ).flatMap(([role, what]) => {
    const name = named(role);
    return name === undefined ? [] : [html`<li>${bidi(name)}: ${what}</li>`];
  });
  if (!aid && !register && shown.length === 0) return null;
  return html`<section><h2>Register</h2>${aid ? html`<p>By ${aidWords(aid)}.</p>` : null}${register ? html`<p>The set ${bidi(registerWords(register))}.</p>` : null}${worst ? html`<p>${bidi(worst)}.</p>` : null}${shown.length > 0 ? html`<ul>${shown}</ul>` : null}</section>`;
}

/** The sheet of a set: what is printed after what, and what it takes. One HTML file without script, for A4 or Letter. */
export function setSheet(report: SetReport): string {
  const { name, canvas, plates, sheets, separation, beats, aid, cut, block } = report;
  const grave = toldOfPlates(plates, ['stop', 'warn']);
  return html`<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8"/>
<meta name="viewport" content="width=device-width, initial-scale=1"/>
<title>Set ${name}</title>
<style>${{ markup: STYLE }}</style>
</head>
<body>
<header><h1>Set ${bidi(name)}</h1><p>${setSizeWords(report)}, ${num(canvas.dpi, 3)} dpi${separation ? `, by ${separation.kind}` : ''}; one canvas and one corner for all</p>
<p class="orientation">Every file is as its plate carries it: do not mirror, move or scale any of them.</p></header>
<main>
<section><table class="stack"><caption>${cut ? 'What is engraved; pieces are printed all together' : 'In the order they are printed'}</caption>
<thead><tr><th scope="col">no.</th><th scope="col">plate</th><th scope="col">ink</th><th scope="col">process</th><th scope="col">file, bits</th><th scope="col">etched</th><th scope="col">time</th><th scope="col">done</th></tr></thead>
<tbody>${plates.map(plateRow)}</tbody></table>
<p>${totalWords(report)}.</p></section>
${
  sheets === null
    ? null
    : html`<section><h2>Sheets</h2><p>Start with <b>${sheets.start}</b> for an edition of ${sheets.edition} and ${sheets.proofs} proofs: ${num(sheets.lossPercent)} % lost at each of ${sheets.printings} printings.</p></section>`
}
${registerSection(report)}
${block === null ? null : blockSection(block, plates)}
${cut === null ? null : piecesSection(cut, report.files)}
<section><h2>At the machine</h2>${listed([
    'The rules and the trained staff of the workshop come first, with whatever they say of these sheets.',
    ...(separation?.oneBlock ? BACK_TO_BED : ['Set machine and lines per inch alike for all plates.']),
    ...(cut ? OF_PIECES[cut.of].machine : []),
  ])}</section>
<section><h2>At the press</h2>${listed([
    ...(cut ? OF_PIECES[cut.of].press : PRINTING),
    ...(aid ? aidNotes(aid, report.plates) : []),
    ...(separation?.oneBlock
      ? ['Cut the next stage only when every sheet of this one is pulled: it cannot be printed again.']
      : []),
  ])}</section>
${
  beats.length === 0
    ? null
    : html`<section><h2>Screens together</h2><ul>${beats.map(({ plates: [one, other], angleDeg, periodMm }) => html`<li>${bidi(one)} and ${bidi(other)}: ${num(angleDeg)}° apart, pattern of ${periodMm === null ? 'none' : `${num(periodMm, 2)} mm`}</li>`)}</ul></section>`
}
${report.cautions.length + grave.length === 0 ? null : html`<section><h2>To look at</h2>${cautionsOf([...report.cautions, ...grave])}</section>`}
</main>
</body>
</html>
`.markup;
}
