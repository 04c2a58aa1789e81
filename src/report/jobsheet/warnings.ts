import { LOCAL_RULES } from '../../core/cautions-safety.ts';
import { SAFETY } from '../cautions/safety.ts';
import type { Caution, Report } from '../schema.ts';
import { SEVERITIES } from '../words.ts';
import { html, type Markup, nothing } from './html.ts';

const isSafety = ({ code }: Caution): boolean => code === SAFETY || code.startsWith(`${SAFETY}-`);

const line = (word: string, { severity, text, cure }: Caution): Markup =>
  html`<li class="${severity}"><b class="grade">${word}</b> <bdi>${text}. ${cure}</bdi></li>`;

/** What was seen and what helps, the gravest first. */
export function cautionsSection({ cautions }: Report): Markup {
  const lines = SEVERITIES.flatMap(([severity, word]) =>
    cautions.filter((seen) => seen.severity === severity && !isSafety(seen)).map((seen) => line(word, seen)),
  );
  return lines.length === 0
    ? nothing
    : html`<section><h2>Cautions and what helps</h2><ul class="cautions">${lines}</ul></section>`;
}

/** The room's own rules above all, then the reminders of the report. */
export function safetySection({ cautions }: Report): Markup {
  const lines = cautions
    .filter((seen) => isSafety(seen) && seen.code !== SAFETY)
    .map(({ text }) => html`<li><bdi>${text}.</bdi></li>`);
  return html`<section class="safety keep"><h2>Safety</h2><p><b>${LOCAL_RULES}</b> This sheet gives no leave to do anything; where you are not sure, ask trained staff.</p>${lines.length > 0 ? html`<ul>${lines}</ul>` : null}</section>`;
}
