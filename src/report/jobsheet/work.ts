import { blank } from './facts.ts';
import { html, type Markup } from './html.ts';
import { MACHINE_NOTES, type ProcessSheet, STAGES, stepsOf } from './steps.ts';
import type { Told } from './told.ts';

/** What is done, in its order, each with a box to tick. */
export function checklistSection(sheet: ProcessSheet, told: Told): Markup {
  const lists = STAGES.map(([stage, title]) => {
    const steps = stepsOf(sheet, stage, told).map((step) => html`<li>${step}</li>`);
    return html`<h3>${title}</h3><ul class="ticks">${steps}</ul>`;
  });
  return html`<section><h2>In the order of the work</h2><div class="stages">${lists}</div></section>`;
}

const FREE_LINES = 2;

/** Room to write down what a second try wants to know. */
export function notesSection({ pressNotes }: ProcessSheet): Markup {
  const fields = [...MACHINE_NOTES, ...pressNotes].map(
    (name) => html`<p class="field"><span>${name}</span>${blank}</p>`,
  );
  const free = Array.from({ length: FREE_LINES }, () => html`<p class="free"></p>`);
  return html`<section class="keep"><h2>Notes</h2><div class="fields">${fields}</div>${free}</section>`;
}

const LENGTH_MM = 100;
/** Ticks of a steel rule: 5 mm, longer at 10. */
const tick = (mm: number): string => `M${mm + 1} 1v${mm % 10 === 0 ? 4 : mm % 5 === 0 ? 3 : 1.8}`;

/** 100 mm by which to see whether the printer has scaled the sheet. */
export function ruler(): Markup {
  const marks = Array.from({ length: LENGTH_MM + 1 }, (_, mm) => tick(mm)).join('');
  const numbers = Array.from({ length: 11 }, (_, cm) => {
    const x = cm * 10 + 1;
    // the outermost stand inside, so that nothing is cut off
    const anchor = cm === 0 ? 'start' : cm === 10 ? 'end' : 'middle';
    return html`<text x="${cm === 0 ? 0 : cm === 10 ? x + 1 : x}" y="8.2" text-anchor="${anchor}">${cm * 10}</text>`;
  });
  return html`<svg class="ruler" width="${LENGTH_MM + 2}mm" height="9mm" viewBox="0 0 ${LENGTH_MM + 2} 9" role="img" aria-labelledby="ruler-title"><title id="ruler-title">A rule of 100 mm</title><path class="rule" d="M1 1h${LENGTH_MM}${marks}"/>${numbers}</svg><p class="small">Lay a steel rule along it: 100 mm, or the printer has scaled this sheet (print it at 100 %). It judges the paper, not the plate.</p>`;
}
