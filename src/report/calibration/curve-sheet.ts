import { type CurveFile, curveKnotsFor } from '../../core/calibration/curve-file.ts';
import { effectiveCoverage, toneValueIncrease, USUAL_N } from '../../core/calibration/density.ts';
import type { ProofReading } from '../../core/calibration/read-proof.ts';
import type { ShapeReading } from '../../core/calibration/shapes.ts';
import { monotoneCurve } from '../../core/curve.ts';
import type { TestPlateLayout } from '../../core/testplate/layout.ts';
import { at } from '../jobsheet/axis.ts';
import { chart } from '../jobsheet/chart.ts';
import { bidi, html, type Markup } from '../jobsheet/html.ts';
import { STYLE } from '../jobsheet/style.ts';
import { num, percent, sizeWords } from '../words.ts';
import { lookYourself, samplesTable } from './curve-sheet-samples.ts';
import { lengthWords, limitWords, wedgeWords } from './curve-words.ts';

/** One proof, laid straight, to show what was read where. */
export interface SheetProof {
  /** `data:image/jpeg;base64,…` of the plate, print-reading. */
  readonly dataUri: string;
  readonly proof: ProofReading;
  readonly shapes: readonly ShapeReading[];
}

const FIFTHS = [0, 0.2, 0.4, 0.6, 0.8, 1];
const STEPS = 50;

const path = (points: readonly (readonly [number, number])[]): string =>
  points.map(([x, y], i) => `${i === 0 ? 'M' : 'L'}${at(x)} ${at(y)}`).join('');

/** What the print made of the file's tones, with the uncertainty of each reading. */
function printedChart({ knots }: CurveFile): Markup {
  const curve = monotoneCurve(knots.map(({ share, printed }) => [share, printed]));
  const half = percent(curve.at(0.5));
  return chart(
    { id: 'printed', title: 'Printed tone over that of the file', description: `50 % prints as ${half}.` },
    { x: { label: 'ink tone in the file, %', ticks: FIFTHS }, y: { label: 'printed, %', ticks: FIFTHS } },
    ({ x, y }) => [
      html`<path class="line" d="${path(Array.from({ length: STEPS + 1 }, (_, i) => [x(i / STEPS), y(curve.at(i / STEPS))]))}"/>`,
      knots.map(({ share, printed, plusMinus }) => {
        const [high, low] = [Math.min(1, printed + 2 * plusMinus), Math.max(0, printed - 2 * plusMinus)];
        return html`<circle cx="${at(x(share))}" cy="${at(y(printed))}" r="0.7"/><path class="axis" d="M${at(x(share))} ${at(y(high))}V${at(y(low))}"/>`;
      }),
    ],
  );
}

/** What the file will hold for the tones that pictures ask for. */
function correctionChart(curve: CurveFile): Markup {
  const back = monotoneCurve(curveKnotsFor(curve, 'ink'));
  const half = percent(back.inverse(0.5));
  return chart(
    {
      id: 'correction',
      title: 'What the file will hold',
      description: `For 50 % asked it will hold ${half}.`,
    },
    {
      x: { label: 'tone asked for, %', ticks: FIFTHS },
      y: { label: 'ink tone in the file, %', ticks: FIFTHS },
    },
    ({ x, y }) =>
      html`<path class="line" d="${path(Array.from({ length: STEPS + 1 }, (_, i) => [x(i / STEPS), y(back.inverse(i / STEPS))]))}"/>`,
  );
}

const fact = (name: string, value: Markup | string): Markup =>
  html`<tr><th scope="row">${name}</th><td>${value}</td></tr>`;

const told = (value: string | null): Markup => (value === null ? html`not told` : bidi(value));

function measuredFacts(curve: CurveFile): Markup {
  const { limits, stretch } = curve;
  return html`<table class="facts"><caption>Measured</caption>
${fact('Printed white', `density ${num(curve.whiteDensity, 3)} above paper`)}
${fact('Solid', `density ${num(curve.solidDensity, 3)} above paper`)}
${fact('Cap', `${num(curve.capPercent)} % reaches 95 % of the range`)}
${fact('Floor', `${num(curve.floorPercent)} % is told from white`)}
${fact('Thinnest kept line', limitWords(limits.minWallMm))}
${fact('Smallest kept dot', limitWords(limits.minLandMm))}
${fact('Thinnest etched line', limitWords(limits.minGapMm))}
${fact('Smallest etched dot', limitWords(limits.minMarkMm))}
${fact('Widest pool', limitWords(limits.maxPoolMm, 'wider'))}
${fact('Widest clean well', limitWords(limits.maxGapMm, 'wider'))}
${fact('Spot, as printed', lengthWords(curve.spot))}
${fact('Stretch', stretch === null ? 'not measured' : `${num(stretch.xPercent, 2)} % across, ${num(stretch.yPercent, 2)} % down`)}
</table>`;
}

function aboutFacts(curve: CurveFile, layout: TestPlateLayout): Markup {
  return html`<table class="facts"><caption>Measured on</caption>
${fact('Day', curve.measuredOn)}
${fact('Test plate', `${layout.id}, ${layout.process}, ${sizeWords(layout)}`)}
${fact('Screen', `${curve.screen.kind} at ${num(curve.dpi, 1)} dpi`)}
${fact('Machine', told(curve.machine))}
${fact('Sheet', told(curve.material))}
${fact('Batch', told(curve.batch))}
${fact('Light', bidi(wedgeWords(curve.wedge)))}
${fact('Even steps of', curve.target)}
</table>`;
}

/** Share covered with ink by Yule and Nielsen, 0 … 1: without the darkness that light caught in the paper adds. */
function covered(density: number, { whiteDensity, solidDensity }: CurveFile): number {
  const share = effectiveCoverage(density - whiteDensity, solidDensity - whiteDensity, USUAL_N);
  return Math.min(1, Math.max(0, share));
}

function tones(curve: CurveFile): Markup {
  return html`<table class="facts"><caption>Tones</caption><thead><tr><th>File</th><th>Printed</th><th>±</th><th>Gain</th><th>Covered</th><th>Density</th><th>L*</th></tr></thead><tbody>${curve.knots.map(
    ({ share, printed, plusMinus, density, lightness }) =>
      html`<tr><td>${percent(share)}</td><td>${percent(printed)}</td><td>${num(plusMinus * 100, 2)}</td><td>${num(toneValueIncrease(printed, share))}</td><td>${percent(covered(density, curve))}</td><td>${num(density, 3)}</td><td>${num(lightness)}</td></tr>`,
  )}</tbody></table>
<p>Printed: by A. Murray and E. R. Davies, as the eye sees it; the curve is made of it. Covered: by J. A. C. Yule and W. J. Nielsen with n = ${USUAL_N}, about what ink covers.</p>`;
}

const cross = (x: number, y: number, reach: number): string =>
  `M${at(x - reach)} ${at(y - reach)}L${at(x + reach)} ${at(y + reach)}M${at(x - reach)} ${at(y + reach)}L${at(x + reach)} ${at(y - reach)}`;

/** Crosses over what did not hold. */
function failures(shapes: readonly ShapeReading[]): Markup {
  const crosses = shapes.flatMap(({ feature, holds }) => {
    const { xMm, yMm, widthMm, heightMm } = feature;
    return holds ? [] : [cross(xMm + widthMm / 2, yMm + heightMm / 2, 0.6)];
  });
  const d = crosses.join('');
  return html`<path d="${d}" fill="none" stroke="#fff" stroke-width="0.5"/><path d="${d}" fill="none" stroke="#000" stroke-width="0.2"/>`;
}

function proofFigure({ dataUri, proof, shapes }: SheetProof, i: number, layout: TestPlateLayout): Markup {
  const { widthMm, heightMm } = layout;
  const { found, paper, misplacedMm } = proof;
  const seen = found.mirrored ? ', scanned mirrored' : '';
  const off = misplacedMm === null ? '' : `, patches within ${num(misplacedMm, 2)} mm of their places`;
  const boxes = layout.patches.map(
    ({ xMm, yMm, widthMm: w, heightMm: h }) =>
      html`<rect x="${at(xMm + 0.2 * w)}" y="${at(yMm + 0.2 * h)}" width="${at(0.6 * w)}" height="${at(0.6 * h)}" fill="none" stroke="#fff" stroke-width="0.5"/><rect x="${at(xMm + 0.2 * w)}" y="${at(yMm + 0.2 * h)}" width="${at(0.6 * w)}" height="${at(0.6 * h)}" fill="none" stroke="#000" stroke-width="0.2"/>`,
  );
  return html`<figure class="keep"><svg width="${Math.min(186, widthMm)}mm" viewBox="0 0 ${widthMm} ${heightMm}" role="img" aria-label="Proof ${i + 1}, laid straight; frames show what was read"><image href="${dataUri}" width="${widthMm}" height="${heightMm}"/>${boxes}${failures(shapes)}</svg><figcaption>Proof ${i + 1}: ${num(found.ppi, 0)} ppi${seen}, plate tone ${num(paper.plateToneDensity, 3)}${off}. Frames show where tones were read, crosses what did not hold.</figcaption></figure>`;
}

/** The sheet of a measured curve: one HTML file without script or network, for A4 or Letter. */
export function curveSheet(curve: CurveFile, layout: TestPlateLayout, proofs: readonly SheetProof[]): string {
  return html`<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8"/>
<meta name="viewport" content="width=device-width, initial-scale=1"/>
<title>${curve.name} – curve</title>
<style>${{ markup: STYLE }}</style>
</head>
<body>
<header><h1>${bidi(curve.name)}</h1><p>Curve measured on ${proofs.length} ${proofs.length === 1 ? 'proof' : 'proofs'}</p></header>
<main>
<section class="columns"><div>${aboutFacts(curve, layout)}</div><div>${measuredFacts(curve)}</div></section>
<section class="charts" aria-label="Charts">${printedChart(curve)}${correctionChart(curve)}</section>
<section>${proofs.map((proof, i) => proofFigure(proof, i, layout))}</section>
${curve.warnings.length === 0 ? null : html`<section><h2>To look at</h2><ul>${curve.warnings.map(({ text }) => html`<li>${text}.</li>`)}</ul></section>`}
<section>${tones(curve)}</section>
${samplesTable(curve, layout)}
${lookYourself(layout)}
<p>Measure again after 90 days, with a new batch, lens or tube, and whenever the control strip says so.</p>
</main>
</body>
</html>
`.markup;
}
