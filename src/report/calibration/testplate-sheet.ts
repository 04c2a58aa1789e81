import { MM_PER_INCH } from '../../core/geometry.ts';
import { linesAcross } from '../../core/testplate/bar-lines.ts';
import type { TestPlateLayout } from '../../core/testplate/layout.ts';
import { bidi, html, listed } from '../jobsheet/html.ts';
import { STYLE } from '../jobsheet/style.ts';
import { num, sizeWords } from '../words.ts';

/** How the proofs of a test plate are to be pulled, by process; common practice. */
const PRINTING: Readonly<Record<TestPlateLayout['process'], readonly string[]>> = {
  relief: [
    'Brush the plate out, and ink it with the roller, ink and pressure that later plates will get.',
    'Pull five proofs on the paper that will be printed on, inking anew for each.',
  ],
  intaglio: [
    'Clean the plate, ink it, and wipe it evenly over all of it, as later plates will be wiped; wipe the corner marks no cleaner than the rest.',
    'Damp the paper that will be printed on, and pull five proofs, inking and wiping anew for each.',
  ],
};

/** What is told of each zone that a plate has. */
const ZONES: readonly (readonly [letter: string, what: string])[] = [
  ['A, B', 'tones in order and out of order: the curve, and whether the plate was wiped or pressed evenly'],
  ['C', 'dark tones on larger patches: where they close up'],
  ['D, E', 'lines and dots, kept and etched: the finest that hold'],
  ['F', 'etched squares: the widest that still holds ink'],
  ['G', 'cleared wells: where the roller touches ground'],
  ['H', 'grains and rulings, to choose by eye'],
  ['L', 'type, to read'],
  ['M', 'the control strip, as later plates carry it in their border'],
];

/** The bar under the loupe: wide enough to stand, narrow enough for a scale in the eyepiece. */
const LOUPE_MM = 0.4;

/** How to measure the beam's own mark on the plate, where no ink can widen it. */
function loupeWords({ features, dpi }: TestPlateLayout): string[] {
  const bar = features.find(
    ({ zone, side, direction, sizeMm }) =>
      zone === 'bars' && side === 'etched' && direction === 'x' && sizeMm === LOUPE_MM,
  );
  if (!bar) return [];
  const between = ((linesAcross(bar, 'x', dpi / MM_PER_INCH) - 1) * MM_PER_INCH) / dpi;
  return [
    `For the beam’s own spot, measure the level etched bar of ${LOUPE_MM} mm on the plate under a loupe with a scale: its width less ${num(between, 3)} mm is what --spot and the workshop file want.`,
  ];
}

/** The sheet that goes with a test plate to machine and press: one HTML file without script or network, for A4 or Letter. */
export function testPlateSheet(layout: TestPlateLayout, name: string): string {
  const { id, process, dpi, screen, spotMm, ladder, strip, features } = layout;
  const has = (zone: string): boolean => features.some((feature) => feature.zone === zone);
  const isThere = (letter: string): boolean =>
    letter === 'F' ? has('pools') : letter === 'G' ? has('gaps') : letter !== 'M' || strip !== null;
  const passes = [...new Set(ladder.map((rung) => rung.passes))].filter((count) => count > 1);
  return html`<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8"/>
<meta name="viewport" content="width=device-width, initial-scale=1"/>
<title>Test plate ${id}</title>
<style>${{ markup: STYLE }}</style>
</head>
<body>
<header><h1>Test plate ${bidi(id)}</h1><p>${process}, ${sizeWords(layout)}, ${num(dpi, 3)} dpi, screen ${bidi(screen.kind)}, ${spotMm === null ? 'no spot allowed for' : `spot ${num(spotMm, 3)} mm allowed for`}</p>
<p class="orientation">The lettering of the file reads backwards, of the print forwards: do not mirror it again.</p></header>
<main>
<section><h2>At the machine</h2>
${listed([
  'The rules and the trained staff of the workshop come first, with whatever they say of this sheet.',
  'Set the lines per inch of the file, power, speed and focus as for later plates; the plate measures them, it does not choose them.',
  ...(passes.length > 0
    ? [
        `Then run the files of further passes (${passes.map((count) => `pass ${count}`).join(', ')}) at the same place.`,
      ]
    : []),
  'Write down machine, lens, sheet and batch, power, speed and day.',
  ...loupeWords(layout),
])}</section>
<section><h2>At the press</h2>
${listed([...PRINTING[process], 'Keep the third to the fifth, each with its number; the first two are for warming up. Let them dry.'])}</section>
<section><h2>At the scanner</h2>
${listed([
  'Scan each whole print with 10 mm of paper around the plate mark, face down and flat, in 16-bit grey at 600 ppi.',
  'Switch off automatic contrast, tone, sharpening and dust removal.',
  'To measure stretch, and the spot as it prints, lay a black strip of known length beside each print, between 20 and 500 mm long.',
  'To be free of the scanner’s own tone curve, lay a reference wedge of known densities beside it too, with white around it, and give its file with --wedge (etchwright schema wedge says what it holds).',
  html`Then: <code>etchwright calibrate 3.tif 4.tif 5.tif --layout ${bidi(`${name}.testplate.json`)}</code>`,
])}</section>
<section><h2>What stands where</h2>
<table class="facts">${ZONES.filter(([letter]) => isThere(letter)).map(([letter, what]) => html`<tr><th scope="row">${letter}</th><td>${what}</td></tr>`)}</table>
${layout.leftOut.length === 0 ? null : html`<p>Left out: ${layout.leftOut.join('; ')}.</p>`}</section>
</main>
</body>
</html>
`.markup;
}
