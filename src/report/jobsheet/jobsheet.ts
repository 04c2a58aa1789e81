import { letterOf } from '../../core/holdmap/sheet.ts';
import type { ProcessKind } from '../../core/processes/index.ts';
import { holdFound } from '../cautions/hold.ts';
import type { Report } from '../schema.ts';
import { matrixWords, sizeWords } from '../words.ts';
import { edgesSection, typeHighSection } from './edges.ts';
import { machineFacts, plateFacts, sheetFacts } from './facts.ts';
import { coverageHistogram } from './histogram.ts';
import { bidi, html, type Markup, nothing } from './html.ts';
import { pictureRow, type SheetPictures } from './pictures.ts';
import { processSheets } from './steps.ts';
import { STYLE } from './style.ts';
import { type Told, toldOf } from './told.ts';
import { type ToneCurves, tonePlot } from './tone-plot.ts';
import { cautionsSection, safetySection } from './warnings.ts';
import { checklistSection, notesSection, ruler } from './work.ts';

/** What the sheet tells beside the report. */
export interface SheetOptions {
  /** The plate's own name, as its files carry it. */
  readonly name: string;
  /** What is engraved in the waste to tell plates apart; null where nothing is. */
  readonly id: string | null;
  /** Thickness of block or plate; null leaves a line to write it on. */
  readonly thicknessMm: number | null;
  readonly tone: ToneCurves;
  /** Areas of pieces of the plate by their etched share, in equal steps from 0 to 1; empty where not counted. */
  readonly coverageBins: readonly number[];
}

const ORIENTATION = {
  plate: 'Already plate-reading: do not mirror again.',
  print: 'Print-reading, not mirrored: a print from it reads backwards unless it is mirrored, once.',
} as const;

function heading({ plate }: Report, { name, id }: SheetOptions, { hash, mirrored }: Told): Markup {
  const engraved = id === null ? null : html`, id ${bidi(id)}`;
  return html`<header><h1>${bidi(name)}</h1><p>Job sheet: ${matrixWords(plate)}, <b>${sizeWords(plate)}</b>${engraved}, bits <span class="hash">${hash}</span></p><p class="orientation">${ORIENTATION[mirrored ? 'plate' : 'print']}</p></header>`;
}

/** The letters of the hold map, in its order. */
const legendOf = ({ hold }: Report): string =>
  (hold?.checks ?? [])
    .filter(({ count }) => count > 0)
    .map((check, mark) => `${letterOf(mark)} ${holdFound(check)}`)
    .join(', ');

/** One chart stands under the facts of the sheet, where there is room for it; two have a row of their own. */
function charts({ tone, coverageBins }: SheetOptions): { readonly inColumn: Markup; readonly inRow: Markup } {
  const shown = [tonePlot(tone), coverageHistogram(coverageBins)].filter((chart) => chart !== null);
  if (shown.length === 0) return { inColumn: nothing, inRow: nothing };
  const section = html`<section class="charts" aria-label="Charts">${shown}</section>`;
  return shown.length === 1 ? { inColumn: section, inRow: nothing } : { inColumn: nothing, inRow: section };
}

/**
 * The job sheet of one plate: a single HTML file, without script or network, for A4 or Letter, in the order of the work.
 *
 * Everything from outside is escaped. No clock and no path, so the same report and pictures give the same bytes. Throws
 * EtchError where a picture is not a PNG or JPEG data URI.
 */
export function jobSheet(report: Report, pictures: SheetPictures, options: SheetOptions): string {
  const told = toldOf(report);
  const sheet = processSheets[report.plate.process as ProcessKind];
  const { tool, bitsSha256 } = report;
  const { thicknessMm } = options;
  const { inColumn, inRow } = charts(options);
  const stack = sheet.typeHigh ? typeHighSection(thicknessMm) : nothing;
  const { markup } = html`<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8"/>
<meta name="viewport" content="width=device-width, initial-scale=1"/>
<title>${options.name} – job sheet ${told.hash}</title>
<style>${{ markup: STYLE }}</style>
</head>
<body>
${heading(report, options, told)}
<main>
${pictureRow(pictures, options.name, legendOf(report))}
<section class="columns"><div>${machineFacts(report, told)}${sheetFacts(report, thicknessMm)}${inColumn}</div><div>${plateFacts(report, told)}${edgesSection(sheet, report)}${stack}</div></section>
${inRow}
${cautionsSection(report)}
${safetySection(report)}
${checklistSection(sheet, told)}
<div class="keep">
${notesSection(sheet)}
<footer>${ruler()}<p>${tool.name} ${tool.version}; bits ${bitsSha256}</p></footer>
</div>
</main>
</body>
</html>
`;
  return markup;
}
