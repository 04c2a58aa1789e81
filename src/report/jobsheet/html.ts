/** Text that may stand in a page as it is; made by `html` and `bidi` only, and for our own style sheet. */
export interface Markup {
  readonly markup: string;
}

/** What may stand between the markup of a template: strings are escaped, lists joined, null leaves nothing. */
export type Piece = Markup | string | number | null | readonly Piece[];

const ENTITIES: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
};

/** Controls, halves of surrogate pairs and other code points that no page may hold (HTML Living Standard, section 13.1.7). */
// biome-ignore lint/suspicious/noControlCharactersInRegex: they are what is looked for
const FORBIDDEN = /[\u0000-\u0008\u000b-\u001f\u007f-\u009f\ufdd0-\ufdef\ufffe\uffff]|\p{Surrogate}/gu;

/** Signs that turn the direction of text after them (Unicode Standard Annex 9, section 2): a name must not reverse a number. */
const TURNING = /[\u202a-\u202e\u2066-\u2069]/g;

/** Any text as text of a page or value of a quoted attribute; what may not stand there becomes U+FFFD. */
export const escapeHtml = (text: string): string =>
  text
    .replace(FORBIDDEN, '\ufffd')
    .replace(TURNING, '\ufffd')
    .replace(/[&<>"']/g, (sign) => ENTITIES[sign]!);

function written(piece: Piece): string {
  if (piece === null) return '';
  if (typeof piece === 'string') return escapeHtml(piece);
  if (typeof piece === 'number') return String(piece);
  return 'markup' in piece ? piece.markup : piece.map(written).join('');
}

/** A template whose own text is markup and whose values are escaped: nothing from outside gets in raw. */
export const html = (parts: TemplateStringsArray, ...values: readonly Piece[]): Markup => ({
  markup: parts.reduce((page, part, i) => page + written(values[i - 1] ?? null) + part),
});

export const nothing: Markup = { markup: '' };

/** A word from outside, kept from turning the direction of what stands beside it. */
export const bidi = (text: string): Markup => html`<bdi>${text}</bdi>`;

/** Steps, one under the other and numbered. */
export const listed = (steps: readonly (Markup | string)[]): Markup =>
  html`<ol>${steps.map((step) => html`<li>${step}</li>`)}</ol>`;
