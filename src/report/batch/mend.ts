import { bidi, html, type Markup } from '../jobsheet/html.ts';
import { MEND } from './mend-words.ts';
import { page } from './page.ts';
import type { BatchPlate } from './schema.ts';

const sentence = (text: string): string => (/[.!?]$/.test(text) ? text : `${text}.`);

/** One thing to mend: what is wrong, and the steps; what the program itself advises stands small, for whoever runs it. */
function problem({ code, message, hint }: BatchPlate['problems'][number]): Markup {
  const steps = MEND[code];
  return html`<li><b>${bidi(sentence(message))}</b>${
    steps === undefined
      ? html`<p>${bidi(hint)}</p>`
      : html`<ul>${steps.map((step) => html`<li>${step}</li>`)}</ul><p class="small">For whoever runs the list: ${bidi(hint)}</p>`
  }</li>`;
}

const OLDER = 'From an earlier try there still lies:';

/** The page that goes back with a picture that gave no plate: what is wrong with it, and what to do, in plain words. */
export function mendPage(plate: BatchPlate): string {
  const { called, name, picture, line, problems, olderFiles } = plate;
  const place = line === null ? null : html`, line ${line} of the list`;
  const body = html`<header><h1>${bidi(called)}: please mend</h1>
<p class="lead">There is no plate yet from <b>${bidi(picture === '' ? 'this row' : picture)}</b>${place}. All others went on without it.</p></header>
<main class="mend">
<h2>What to mend</h2>
<ol>${problems.map(problem)}</ol>
<h2>Then</h2>
<p>Say that it is mended: the list is run again, and only what has changed is made. A mended picture keeps its file name; if it has a new one, tell that too.</p>
${
  olderFiles.length === 0
    ? null
    : html`<h2>Do not engrave</h2><p>${OLDER} ${olderFiles.map((file, i) => [i === 0 ? '' : ', ', bidi(file)])}. It is not what was asked for now.</p>`
}
<p class="small">File name of the plate to be: ${bidi(name)}</p>
</main>`;
  return page(`${called}: please mend`, body);
}
