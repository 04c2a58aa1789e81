import { expect, test } from 'vitest';
import type { PictureSize } from '../../src/core/geometry.ts';
import { openThinLines } from '../../src/core/thin-lines.ts';
import { depthOf } from '../../src/job/hold-limits.ts';
import { planPlate } from '../../src/job/plan.ts';
import { plateCautions } from '../../src/report/cautions/index.ts';
import { passCautions } from '../../src/report/cautions/pass.ts';
import { wholeJob } from '../job/whole.ts';

const settled = (values: Record<string, unknown>) =>
  wholeJob({ process: 'relief', screen: 'threshold', ...values });

/** The caution about thin lines of a picture with one upright line, counted for real. */
function thinLineCaution(picture: PictureSize, linePx: number, values: Record<string, unknown>) {
  const { job, making } = settled(values);
  const plan = planPlate(job, making, picture);
  const counter = openThinLines(picture.widthPx, plan.layout.x.stepPx, plan.layout.y.stepPx, 0);
  const row = Int16Array.from({ length: picture.widthPx }, (_, x) => (x > 9 && x <= 9 + linePx ? 1 : -1));
  for (let y = 0; y < picture.heightPx; y++) counter.row(row, 0);
  const found = {
    etched: 0.9,
    thinLines: { ink: counter.finish(), paper: { count: 0, thinnestPx: 0 } },
    lineArt: true,
    ofSet: false,
    drawn: false,
  };
  return plateCautions(job, plan, found).find(({ code }) => code === 'thin-lines');
}

test.each([
  [1, 60, 0, 500],
  [1, 43.7, 0, 500],
  [2, 25.3, 3, 400],
  [3, 20, 0, 300],
  [1, 17.9, 5.5, 254],
])(
  'a line of %i px on %f mm with a border of %f mm at %i dpi has a pixel from the width and the dpi told on',
  (linePx, widthMm, borderMm, dpi) => {
    const picture = { widthPx: 2400, heightPx: 1601, ppiX: null, ppiY: null };
    const size = { widthMm, borderMm, dpi };
    const told = thinLineCaution(picture, linePx, size);
    // one line of so many of 2400 pixels, on what the border leaves
    expect(told!.value).toBeCloseTo((linePx / 2400) * (widthMm - 2 * borderMm), 3);
    const [, wider, finer] = /width of (\d+) mm on, or at this size from --dpi (\d+) on/.exec(told!.cure)!;
    expect(thinLineCaution(picture, linePx, { ...size, widthMm: Number(wider) })).toBeUndefined();
    expect(thinLineCaution(picture, linePx, { ...size, dpi: Number(finer) })).toBeUndefined();
    // not much sooner: 3 % below, rounding to whole mm aside, it is still there
    expect(thinLineCaution(picture, linePx, { ...size, widthMm: 0.97 * (Number(wider) - 1) })).toBeDefined();
  },
);

test('a depth in a sheet not known here gives a note, and no passes out of the air', () => {
  const noted = (values: Record<string, unknown>) => {
    const { job, making } = settled({ widthMm: 100, ...values });
    const depth = depthOf(job, making);
    return [depth.passes, ...passCautions({ making, depth }).map(({ severity, text }) => [severity, text])];
  };
  const note = ['note', expect.stringMatching(/^No depth per pass is known for granite,/)];
  expect(noted({ material: 'granite', depthMm: 2 })).toEqual([null, note]);
  expect(noted({ material: 'granite', depthMm: 2, passes: 3 })).toEqual([3]);
  expect(noted({ material: 'granite' })).toEqual([null]);
  expect(noted({ material: 'wood', depthMm: 2 })).toEqual([4]); // 0.5 mm a pass, from memory
});

const A_SCAN = { widthPx: 600, heightPx: 400, ppiX: 300, ppiY: 300 };

/** Codes and values of what is cautioned of a picture on its plate. */
function cautioned(picture: PictureSize, values: Record<string, unknown>, etched: number, lineArt = true) {
  const { job, making } = settled(values);
  return plateCautions(job, planPlate(job, making, picture), {
    etched,
    thinLines: null,
    lineArt,
    ofSet: false,
    drawn: false,
  }).map(({ code, value, severity }) => [code, value, severity]);
}

test('300 ppi for lines and 150 for tones are enough, and anything less is too little (common practice)', () => {
  // 400 px on 33.87 mm are 667 plate pixels, not 666.67: no shortcoming of the scan
  expect(cautioned(A_SCAN, {}, 0.9)).toEqual([]);
  expect(cautioned(A_SCAN, { widthMm: 52 }, 0.9)).toEqual([
    ['low-source-ppi', expect.closeTo(293, 0), 'warn'],
  ]);
  expect(cautioned(A_SCAN, { widthMm: 101.6 }, 0.9, false)).toEqual([]);
  expect(cautioned(A_SCAN, { widthMm: 104 }, 0.9, false)).toEqual([
    ['low-source-ppi', expect.closeTo(146.5, 0), 'warn'],
  ]);
});

test('what is cut off is noted, what is stretched is cautioned', () => {
  const square = { widthMm: 30, heightMm: 30 };
  expect(cautioned(A_SCAN, { ...square, fit: 'contain' }, 0.9)).toEqual([]);
  // 400 of 600 px are shown
  expect(cautioned(A_SCAN, { ...square, fit: 'cover' }, 0.9)).toEqual([['cropped', 33.3, 'note']]);
  expect(cautioned(A_SCAN, { ...square, fit: 'fill' }, 0.9)).toEqual([['stretched', 50, 'warn']]);
});

test('line art in relief under half etched and intaglio above 60 % look like mistakes (from memory)', () => {
  const told = (process: string, etched: number, lineArt: boolean) =>
    cautioned(A_SCAN, { process, widthMm: 40 }, etched, lineArt).map(([code]) => code);
  expect(told('relief', 0.49, true)).toEqual(['implausible-coverage']);
  expect(told('relief', 0.51, true)).toEqual([]);
  expect(told('relief', 0.3, false)).toEqual([]);
  expect(told('intaglio', 0.61, false)).toEqual(['implausible-coverage']);
  expect(told('intaglio', 0.59, true)).toEqual([]);
});

test('a plate of which nothing prints is cautioned, one with a single dot is not', () => {
  const told = (process: string, etched: number) => cautioned(A_SCAN, { process, widthMm: 40 }, etched);
  expect(told('relief', 1)).toEqual([['nothing-prints', 0, 'warn']]);
  expect(told('intaglio', 0)).toEqual([['nothing-prints', 0, 'warn']]);
  expect([...told('relief', 1 - 1e-9), ...told('intaglio', 1e-9)]).toEqual([]);
});
