import { bidi, html, type Markup, type Piece } from '../jobsheet/html.ts';
import { IMAGE_URI } from '../jobsheet/pictures.ts';
import { clock, counted, matrixWords, sizeWords } from '../words.ts';
import { page } from './page.ts';
import type { BatchPlate } from './schema.ts';

/** What stands on a card beside the outcome: a small picture of the print, as a PNG or JPEG data URI. */
export interface Card {
  readonly outcome: BatchPlate;
  readonly picture: string | null;
}

/** What the sheet says of all plates together. */
export interface ContactHead {
  /** The list's own name; null for job files. */
  readonly list: string | null;
  /** `part 2 of 8`; null for all of it. */
  readonly part: string | null;
  readonly totalS: number;
}

const heading = ({ outcome: { row, called } }: Card): Markup => html`<h2>${row}. ${bidi(called)}</h2>`;

function missing(card: Card): Markup {
  const { picture, problems, mendPage } = card.outcome;
  const where: Piece =
    mendPage === null ? null : html`<p><a href="${encodeURIComponent(mendPage)}">What to mend</a></p>`;
  return html`<li class="card none"><div class="frame">no plate</div>${heading(card)}<p>${bidi(picture)}</p><ul>${problems.map(
    ({ message }) => html`<li>${bidi(message)}</li>`,
  )}</ul>${where}</li>`;
}

function shown(card: Card, report: NonNullable<BatchPlate['plate']>): Markup {
  const { called } = card.outcome;
  const { plate, passes, time, cautions, files } = report;
  const warned = cautions.filter(({ severity }) => severity === 'warn');
  const image =
    card.picture !== null && IMAGE_URI.test(card.picture)
      ? html`<img src="${card.picture}" alt="Print of ${called}"/>`
      : html`<span>no picture of it</span>`;
  const minutes = time ? `about ${clock(time.totalS)} min` : 'minutes not known';
  const file = files.find(({ role }) => role === 'plate');
  return html`<li class="card"><div class="frame">${image}</div>${heading(card)}<p>${matrixWords(plate)}, ${sizeWords(plate)}, ${plate.dpi} dpi</p><p>${minutes}${
    passes && passes.count > 1 ? ` for ${passes.count} passes` : null
  }</p>${file ? html`<p class="small">${bidi(file.name)}</p>` : null}${
    warned.length === 0
      ? null
      : html`<p>${counted(warned.length, 'caution')}:</p><ul>${warned.map(({ text }) => html`<li>${bidi(text)}</li>`)}</ul>`
  }</li>`;
}

const isShown = ({ outcome }: BatchPlate): boolean => outcome === 'made' || outcome === 'kept';

/**
 * The contact sheet of a list: a card for each picture in its order, with the print as the plate makes it, or why there is no
 * plate. One HTML file without script or network, for A4 or Letter; what was made now and what was there already look alike.
 */
export function contactSheet(cards: readonly Card[], head: ContactHead): string {
  const made = cards.filter(({ outcome }) => isShown(outcome)).length;
  const title = head.list ?? 'Plates';
  const part = head.part === null ? null : html`, ${head.part}`;
  const failed = cards.length - made;
  const body = html`<header><h1>${bidi(title)}${part}</h1>
<p class="lead">${counted(cards.length, 'picture')}: ${counted(made, 'plate')}${
    failed === 0 ? null : html`, <b>${failed} without a plate</b>`
  }. About ${clock(head.totalS)} min on the machine, one after the other.</p>
<p>Pictures are shown as they should print, the right way round. The files read the other way where the plate must.</p></header>
<main><ul class="cards">${cards.map((card) => {
    const { plate } = card.outcome;
    return plate !== null && isShown(card.outcome) ? shown(card, plate) : missing(card);
  })}</ul></main>`;
  return page(`${title}: contact sheet`, body);
}
