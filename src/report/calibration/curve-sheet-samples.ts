import type { CurveFile } from '../../core/calibration/curve-file.ts';
import { effectiveCoverage } from '../../core/calibration/density.ts';
import type { TestPatch, TestPlateLayout } from '../../core/testplate/layout.ts';
import { html, type Markup } from '../jobsheet/html.ts';
import { num, percent } from '../words.ts';

/** What a sample is called, by the zone it stands in. */
const SAMPLE_NAMES: Readonly<Partial<Record<TestPatch['zone'], (patch: TestPatch) => string>>> = {
  grain: ({ screen }) => `grain ${num(Number(screen?.params['grainMm']), 2)} mm`,
  ruling: ({ label }) => `dots, ${label} lpi`,
};

/** What samples of grain and ruling printed as; their screens are not the plate's, so they make no curve. */
export function samplesTable(
  { readings, whiteDensity, solidDensity }: CurveFile,
  layout: TestPlateLayout,
): Markup | null {
  const rows = layout.patches.flatMap((patch) => {
    const name = SAMPLE_NAMES[patch.zone]?.(patch);
    const own = readings.filter(({ id }) => id === patch.id);
    if (name === undefined || own.length === 0) return [];
    const density = own.reduce((sum, reading) => sum + reading.density, 0) / own.length;
    const printed = effectiveCoverage(density - whiteDensity, solidDensity - whiteDensity);
    return [
      html`<tr><td>${name}</td><td>${percent(patch.share)}</td><td>${percent(Math.min(1, Math.max(0, printed)))}</td></tr>`,
    ];
  });
  if (rows.length === 0) return null;
  return html`<section><table class="facts"><caption>Samples</caption><thead><tr><th>Sample</th><th>File</th><th>Printed</th></tr></thead><tbody>${rows}</tbody></table></section>`;
}

interface Place {
  readonly xMm: number;
  readonly yMm: number;
}

const placeWords = (places: readonly Place[]): string =>
  places.map(({ xMm, yMm }) => `${num(xMm, 0)}, ${num(yMm, 0)}`).join('; ');

/** What no scan can tell honestly, with what to look for and where it stands. */
export function lookYourself({ type, stars, patches, ladder }: TestPlateLayout): Markup | null {
  const looks: readonly (readonly [what: string, places: readonly Place[]])[] = [
    [
      'L, type: the smallest line that reads without a glass, with no counter filled and no stroke broken',
      type.slice(0, 1),
    ],
    [
      'Stars: their middles should be blurred alike. A wider blur in one corner says that the sheet was not flat or not in focus there; one longer in one direction, that edges differ along and across the scan',
      stars,
    ],
    [
      'H, samples: which grain, and which ruling, still looks clean under a glass at 30 to 70 %',
      patches.filter(({ zone }) => SAMPLE_NAMES[zone] !== undefined).slice(0, 1),
    ],
    ['I, passes: the depth of each, with a gauge on the plate; a print does not show it', ladder.slice(0, 1)],
  ];
  const there = looks.filter(([, places]) => places.length > 0);
  if (there.length === 0) return null;
  return html`<section><h2>Look yourself</h2><p>No scan tells these. Places are mm from the left and from the top of the print.</p>
<ul>${there.map(([what, places]) => html`<li>${what} (at ${placeWords(places)}).</li>`)}</ul></section>`;
}
