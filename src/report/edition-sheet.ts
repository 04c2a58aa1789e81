import { bidi, html, type Markup, type Piece } from './jobsheet/html.ts';
import { STYLE } from './jobsheet/style.ts';
import { num } from './words.ts';

/** An edition as its sheets tell it; plain data, for they know no ledger. */
export interface EditionFacts {
  readonly title: string;
  readonly artist: string;
  readonly year: number;
  readonly medium: string;
  readonly paper: string | null;
  readonly workshop: string | null;
  readonly otherEditions: string | null;
  readonly posthumous: boolean;
  /** By mark (edition, AP …): how many are declared, given, destroyed since; the numbers given, as ranges. */
  readonly marks: readonly {
    readonly mark: string;
    readonly declared: number;
    readonly given: number;
    readonly destroyed: number;
    readonly numbers: string;
  }[];
  readonly proofs: readonly { readonly kind: string; readonly count: number }[];
  readonly plates: readonly {
    readonly name: string;
    readonly process: string;
    readonly widthMm: number;
    readonly heightMm: number;
    readonly material: string | null;
    readonly duplicateOf: string | null;
    readonly state: number;
    readonly impressions: number;
    readonly spoiled: number;
    readonly cancelled: string | null;
    readonly bitsSha256: string;
    /** Numbers that are known to come from it, as ranges by mark. */
    readonly printed: string;
  }[];
  readonly sheets: number;
  readonly spoiled: number;
  readonly inHand: number;
  readonly approved: {
    readonly on: string;
    readonly by: string | null;
    readonly words: string | null;
  } | null;
  readonly closedOn: string | null;
  /** What was entered, in its order. */
  readonly entries: readonly {
    readonly on: string;
    readonly what: string;
    /** Why it counts for nothing; null where it counts. */
    readonly void: string | null;
  }[];
}

const page = (title: string, body: Markup): string =>
  html`<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8"/>
<meta name="viewport" content="width=device-width, initial-scale=1"/>
<title>${title}</title>
<style>${{ markup: STYLE }}</style>
</head>
<body>
${body}
</body>
</html>
`.markup;

const table = (heads: readonly string[], rows: readonly (readonly Piece[])[]): Markup =>
  html`<table class="stack"><thead><tr>${heads.map((head) => html`<th scope="col">${head}</th>`)}</tr></thead>
<tbody>${rows.map((row) => html`<tr>${row.map((cell) => html`<td>${cell}</td>`)}</tr>`)}</tbody></table>`;

const facts = (rows: readonly (readonly [string, Piece])[]): Markup =>
  html`<table class="facts"><tbody>${rows.map(([name, value]) => html`<tr><th scope="row">${name}</th><td>${value}</td></tr>`)}</tbody></table>`;

const said = (text: string | null): Piece => (text === null ? 'not said' : bidi(text));
const yes = (value: boolean): string => (value ? 'yes' : 'no');

const counted = (masters: number, duplicates: number): string =>
  duplicates === 0
    ? `${masters}, and no duplicates`
    : `${masters}, and ${duplicates} ${duplicates === 1 ? 'duplicate' : 'duplicates'} of ${masters === 1 ? 'it' : 'them'}`;

const platesTable = ({ plates }: EditionFacts): Markup =>
  table(
    ['plate', 'process, size, material', 'state', 'pulled', 'spoiled', 'printed', 'cancelled'],
    plates.map((plate) => [
      html`${bidi(plate.name)}${plate.duplicateOf === null ? null : html` (duplicate of ${bidi(plate.duplicateOf)})`}<br/><span class="hash">${plate.bitsSha256.slice(0, 12)}</span>`,
      html`${plate.process}, ${num(plate.widthMm, 2)} × ${num(plate.heightMm, 2)} mm${plate.material === null ? null : html`, ${bidi(plate.material)}`}`,
      plate.state,
      plate.impressions,
      plate.spoiled,
      plate.printed || '–',
      plate.cancelled === null ? 'no' : bidi(plate.cancelled),
    ]),
  );

const marksTable = ({ marks }: EditionFacts): Markup =>
  table(
    ['marked', 'declared', 'given', 'destroyed since', 'numbers'],
    marks.map(({ mark, declared, given, destroyed, numbers }) => [
      mark,
      declared,
      given,
      destroyed,
      numbers || '–',
    ]),
  );

const printFacts = (edition: EditionFacts): Markup =>
  facts([
    ['artist', bidi(edition.artist)],
    ['year', edition.year],
    ['medium', bidi(edition.medium)],
    ['paper', said(edition.paper)],
    ['printed at', said(edition.workshop)],
  ]);

/** The ledger as a sheet for the folder: what there is of the print, and every entry in its order. */
function editionSheet(edition: EditionFacts): string {
  const { approved, sheets, spoiled, inHand, closedOn } = edition;
  return page(
    `Edition of ${edition.title}`,
    html`<header><h1>${bidi(edition.title)}</h1><p>Edition ledger${closedOn === null ? ', open' : `, closed on ${closedOn}`}</p></header>
<main>
<section class="keep"><h2>The print</h2>${printFacts(edition)}</section>
<section class="keep"><h2>Impressions</h2>${marksTable(edition)}
${facts([
  [
    'BAT',
    approved === null
      ? 'none accepted'
      : html`accepted on ${approved.on}${approved.by === null ? null : html` by ${bidi(approved.by)}`}${approved.words === null ? null : html`: ${bidi(approved.words)}`}`,
  ],
  ['proofs', edition.proofs.map(({ kind, count }) => `${kind} ${count}`).join(', ') || 'none'],
  ['sheets', `${sheets} begun with, ${spoiled} spoiled and destroyed, ${inHand} not accounted for`],
])}</section>
<section><h2>Plates</h2>${platesTable(edition)}</section>
<section><h2>Entries</h2>${table(
      ['day', 'entry', 'counts'],
      edition.entries.map(({ on, what, void: why }) => [
        on,
        bidi(what),
        why === null ? 'yes' : bidi(`no: ${why}`),
      ]),
    )}</section>
</main>`,
  );
}

/** Facts that statutes on prints ask for (Maryland, Hawaii, New York, Georgia, California), as far as the ledger has them. */
function disclosureSheet(edition: EditionFacts): string {
  const { plates, marks, proofs, closedOn } = edition;
  const masters = plates.filter(({ duplicateOf }) => duplicateOf === null);
  const cancelled = plates.filter((plate) => plate.cancelled !== null);
  return page(
    `Disclosure: ${edition.title}`,
    html`<header><h1>${bidi(edition.title)}: what was printed</h1>
<p class="orientation">Not legal advice. These are facts from the edition’s ledger; what must be told, where and how, is for those who know the law of the place.</p></header>
<main>
<section class="keep"><h2>The print</h2>${printFacts(edition)}</section>
<section class="keep"><h2>How many</h2>${facts([
      ['limited', html`yes: ${marks.map(({ mark, declared }) => `${mark} ${declared}`).join(', ')}`],
      [
        'given so far',
        marks
          .map(
            ({ mark, given, destroyed }) =>
              `${mark} ${given}${destroyed > 0 ? ` (${destroyed} destroyed)` : ''}`,
          )
          .join(', '),
      ],
      ['proofs', proofs.map(({ kind, count }) => `${kind} ${count}`).join(', ') || 'none'],
      ['closed', closedOn === null ? 'no, the edition is open' : `on ${closedOn}`],
    ])}</section>
<section class="keep"><h2>Plates</h2>${facts([
      ['how many', counted(masters.length, plates.length - masters.length)],
      [
        'cancelled',
        plates.length > 0 && cancelled.length === plates.length
          ? 'all of them'
          : `${cancelled.length} of ${plates.length}`,
      ],
      ['other editions', said(edition.otherEditions)],
      ['posthumous', yes(edition.posthumous)],
    ])}${platesTable(edition)}</section>
<section class="keep"><h2>Signed</h2><p>Artist <span class="blank"></span> Printer <span class="blank"></span> Day <span class="blank"></span></p></section>
</main>`,
  );
}

/** The pages that can be made of an edition, by the word in their file names. */
export const editionPages = { edition: editionSheet, disclosure: disclosureSheet } as const;
