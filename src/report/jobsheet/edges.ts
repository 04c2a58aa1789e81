import { packingMm, TYPE_HEIGHTS, TYPE_HIGH_WITHIN_MM } from '../../core/type-high.ts';
import type { Report } from '../schema.ts';
import { num } from '../words.ts';
import { blank } from './facts.ts';
import { html, type Markup } from './html.ts';
import type { ProcessSheet } from './steps.ts';

/** What is done to the edges, and the strip that bevel or saw take. */
export function edgesSection({ edges }: ProcessSheet, report: Report): Markup {
  const limitMm = report.hold?.checks.find(({ code }) => code === edges.check)?.limitMm ?? null;
  const strip = limitMm === null ? null : html`<li>${edges.strip} ${num(limitMm, 1)} mm.</li>`;
  const lines = edges.lines.map((line) => html`<li>${line}</li>`);
  return html`<section class="keep"><h2>${edges.title}</h2><ul class="edges">${strip}${lines}</ul></section>`;
}

function packing(heightMm: number, blockMm: number | null): Markup | string {
  if (blockMm === null) return blank;
  const mm = packingMm(heightMm, blockMm);
  return mm === null ? 'too thick for this height' : `${mm.toFixed(2)} mm`;
}

/** What goes under a block so that it is as high as type; to be filled in where the thickness is not known. */
export function typeHighSection(blockMm: number | null): Markup {
  const rows = TYPE_HEIGHTS.map(
    ({ where, mm }) =>
      html`<tr><th scope="row">${where}</th><td>${blockMm === null ? blank : `${num(blockMm, 2)} mm`}</td><td>${packing(mm, blockMm)}</td><td>${mm.toFixed(2)} mm</td></tr>`,
  );
  return html`<section class="keep"><h2>Beside type: the stack to type-high</h2><table class="stack"><thead><tr><th scope="col">height of</th><th scope="col">block</th><th scope="col">+ packing</th><th scope="col">= type-high</th></tr></thead><tbody>${rows}</tbody></table><p class="small">Measure the block with calipers; pack it to within ${TYPE_HIGH_WITHIN_MM} mm.</p></section>`;
}
