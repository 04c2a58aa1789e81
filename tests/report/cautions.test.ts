import { expect, test } from 'vitest';
import type { PictureSize } from '../../src/core/geometry.ts';
import { openThinLines } from '../../src/core/thin-lines.ts';
import { depthOf } from '../../src/job/hold-limits.ts';
import { resolveJob } from '../../src/job/layers.ts';
import { resolveMaking } from '../../src/job/making.ts';
import { planPlate } from '../../src/job/plan.ts';
import { plateCautions } from '../../src/report/cautions.ts';
import { passCautions } from '../../src/report/pass-cautions.ts';

function settled(values: Record<string, unknown>) {
  const { job } = resolveJob([{ origin: 'flag', name: '', values: { process: 'relief', ...values } }]);
  return { job: job!, making: resolveMaking(job!, null).making };
}

/** The caution about thin lines of a picture with one upright line, counted for real. */
function thinLineCaution(picture: PictureSize, linePx: number, values: Record<string, unknown>) {
  const { job, making } = settled(values);
  const plan = planPlate(job, making, picture);
  const counter = openThinLines(picture.widthPx, plan.layout.x.stepPx, plan.layout.y.stepPx, 0);
  const row = Int16Array.from({ length: picture.widthPx }, (_, x) => (x > 9 && x <= 9 + linePx ? 1 : -1));
  for (let y = 0; y < picture.heightPx; y++) counter.row(row, 0);
  const found = { etched: 0.9, thinLines: counter.finish(), lineArt: true };
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
