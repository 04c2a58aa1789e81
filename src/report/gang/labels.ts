import { bidi, html, type Markup } from '../jobsheet/html.ts';
import { STYLE } from '../jobsheet/style.ts';
import { num, sizeWords } from '../words.ts';
import type { GangReport, PlacedPlate } from './schema.ts';

type Sheet = GangReport['sheets'][number];

/** Largest labels to cut out; two stand side by side on A4 and Letter. */
const LABEL_MM = { width: 90, height: 34 } as const;
/** Width of a letter for its size: bold capitals of a wide face (DejaVu Sans) have 0.78 on the average, small ones 0.6 to 0.7. */
const LETTER = 0.8;
/** Largest lettering of a name, in mm. */
const NAME_MM = 14;

const mm = (value: number): string => num(value, 3);

/** Size at which a text is as wide as it may be, in mm. */
const fitted = (text: string, widthMm: number, mostMm: number): number =>
  Math.min(mostMm, widthMm / (LETTER * Math.max(1, Array.from(text).length)));

/** From behind, left is right: the sheet is turned over like a page. */
const fromBehind = ({ xMm, widthMm }: PlacedPlate, sheetWidthMm: number): number =>
  sheetWidthMm - xMm - widthMm;

function plateBox(plate: PlacedPlate, sheetWidthMm: number, frameMm: number): Markup {
  const { id, name, yMm, widthMm, heightMm } = plate;
  const x = fromBehind(plate, sheetWidthMm);
  const most = Math.min(NAME_MM, heightMm / 4);
  const nameMm = fitted(name, widthMm * 0.9, most);
  const idMm = fitted(id, widthMm * 0.9, most * 0.6);
  const middle = mm(x + widthMm / 2);
  return html`<g><rect x="${mm(x)}" y="${mm(yMm)}" width="${mm(widthMm)}" height="${mm(heightMm)}" stroke-width="${frameMm}"/>
<text x="${middle}" y="${mm(yMm + heightMm / 2)}" font-size="${mm(nameMm)}" font-weight="bold">${name}</text>
<text x="${middle}" y="${mm(yMm + heightMm / 2 + 1.6 * idMm)}" font-size="${mm(idMm)}">${id}</text></g>`;
}

/** A sheet from behind, drawn in its own millimetres. */
function drawing(
  { placed, number }: Sheet,
  { widthMm, heightMm }: GangReport['sheet'],
  width: string,
  frameMm: number,
): Markup {
  return html`<svg class="sheet" style="width:${width}" viewBox="0 0 ${mm(widthMm)} ${mm(heightMm)}" role="img" aria-label="Sheet ${number}, seen from the back">
<rect x="0" y="0" width="${mm(widthMm)}" height="${mm(heightMm)}" stroke-width="${2 * frameMm}"/>
${placed.map((plate) => plateBox(plate, widthMm, frameMm))}
<text x="${mm(widthMm / 2)}" y="${mm(heightMm - 1.5)}" font-size="3">Sheet ${number}, seen from the back</text>
</svg>`;
}

const table = ({ placed, number }: Sheet): Markup => html`<table class="facts places">
<caption>Sheet ${number}: where the plates lie as the machine sees them, from the upper left corner</caption>
<thead><tr><th scope="col">id</th><th scope="col">name</th><th scope="col">left</th><th scope="col">top</th><th scope="col">size</th><th scope="col">lies</th></tr></thead>
<tbody>${placed.map(
  (plate) =>
    html`<tr><td class="hash">${plate.id}</td><td>${bidi(plate.name)}</td><td>${num(plate.xMm, 2)} mm</td><td>${num(plate.yMm, 2)} mm</td><td>${sizeWords(plate)}</td><td>${plate.turned ? 'turned by 90°' : 'upright'}</td></tr>`,
)}</tbody></table>`;

function label(plate: PlacedPlate, sheet: number): Markup {
  // a turned plate has its long side the other way once it is in the hand
  const [across, down] = plate.turned ? [plate.heightMm, plate.widthMm] : [plate.widthMm, plate.heightMm];
  const width = Math.min(LABEL_MM.width, across);
  const height = Math.min(LABEL_MM.height, down);
  const nameMm = fitted(plate.name, width - 6, Math.min(NAME_MM, height * 0.42));
  const small = `${plate.id} · sheet ${sheet}`;
  const smallMm = fitted(small, width - 6, Math.min(3.5, height * 0.14));
  return html`<div class="label" style="width:${mm(width)}mm;height:${mm(height)}mm"><b style="font-size:${mm(nameMm)}mm">${bidi(plate.name)}</b><span style="font-size:${mm(smallMm)}mm">${small}</span></div>`;
}

/** The page of one sheet at its own size. */
const fullPage = (sheet: Sheet, report: GangReport): Markup => html`<section class="full" style="page:sheet">
${drawing(sheet, report.sheet, `${mm(report.sheet.widthMm)}mm`, 0.2)}
</section>`;

const styleFor = ({ widthMm, heightMm }: GangReport['sheet']): string => `${STYLE}
@page sheet { size: ${mm(widthMm)}mm ${mm(heightMm)}mm; margin: 0; }
body { width: auto; max-width: none; }
.paper { width: 186mm; max-width: 100%; margin: 0 auto; }
.sheet { display: block; max-width: none; overflow: visible; font-family: inherit; }
.sheet rect { fill: none; stroke: #000; }
.sheet text { text-anchor: middle; }
.overview .sheet { max-width: 100%; margin: 1mm 0 2mm; }
.overview { break-inside: avoid; page-break-inside: avoid; }
.places th { width: auto; padding-right: 2mm; }
.places td { padding-right: 2mm; }
.labels { display: flex; flex-wrap: wrap; gap: 2mm; }
.label { border: 0.2mm dashed #000; padding: 1.5mm 3mm; overflow: hidden; display: flex; flex-direction: column; justify-content: center; break-inside: avoid; page-break-inside: avoid; overflow-wrap: normal; }
.label b { line-height: 1.1; }
.label { white-space: nowrap; }
.full { margin: 0; break-before: page; page-break-before: always; overflow: hidden; }
.measure { display: block; }
.measure path { stroke: #000; stroke-width: 0.25; fill: none; }
@media screen { body { width: auto; } }
`;

/** A line of 100 mm, to see whether the printer has kept the scale. */
const MEASURE = html`<svg class="measure" style="width:102mm;height:8mm" viewBox="0 0 102 8" role="img" aria-label="100 mm"><path d="M1 1v4M101 1v4M1 3H101"/><text x="51" y="6.6" font-size="2.8" text-anchor="middle">100 mm: print at full size, and measure this line</text></svg>`;

/**
 * Labels for the backs of a gang's plates, one HTML file without script or network: each sheet from behind as an
 * overview, where its plates lie, labels to cut out, and each sheet from behind at its own size, on a page as large as the sheet.
 */
export function labelSheet(report: GangReport, name: string): string {
  const { sheet, sheets, process, dpi, arrangement } = report;
  return html`<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8"/>
<meta name="viewport" content="width=device-width, initial-scale=1"/>
<title>Labels of ${name}</title>
<style>${{ markup: styleFor(sheet) }}</style>
</head>
<body>
<div class="paper">
<header><h1>Labels of ${bidi(name)}</h1><p>${arrangement.plates} plates for ${process}, ${num(dpi, 3)} dpi, on ${sheets.length} ${sheets.length === 1 ? 'sheet' : 'sheets'} of ${sizeWords(sheet)}, gutters of ${num(sheet.gutterMm, 2)} mm</p>
<p class="orientation">Seen from the back: turn the sheet over like a page, left to right. Label the backs before anything is cut.</p></header>
<main>
${sheets.map(
  (one) =>
    html`<section class="overview"><h2>Sheet ${one.number}, seen from the back</h2>${drawing(one, sheet, '186mm', 0.4)}${table(one)}</section>`,
)}
<section><h2>Labels to cut out</h2>${MEASURE}<div class="labels">${sheets.map(({ placed, number }) => placed.map((plate) => label(plate, number)))}</div></section>
</main>
</div>
${sheets.map((one) => fullPage(one, report))}
</body>
</html>
`.markup;
}
