import fc from 'fast-check';
import { expect, test } from 'vitest';
import { JobError } from '../../src/core/errors.ts';
import { resolveJob } from '../../src/job/layers.ts';
import { layPlate, layPrint } from '../../src/job/plan.ts';

const jobOf = (values: Record<string, unknown>) =>
  resolveJob([{ origin: 'job', name: 'job', values: { process: 'relief', dpi: 50, ...values } }]).job!;
const picture = (widthPx: number, heightPx: number, ppi: number | null = null) => ({
  widthPx,
  heightPx,
  ppiX: ppi,
  ppiY: ppi,
});

/** The problem with a plate of this picture; null where it can be laid. */
function problemOf(values: Record<string, unknown>, seen: ReturnType<typeof picture>): string | null {
  try {
    layPlate(jobOf(values), seen);
    return null;
  } catch (error) {
    if (!(error instanceof JobError)) throw error;
    return error.problems[0]!.code;
  }
}

test('a side that follows from the picture is no longer than a typed one may be', () => {
  // 60 mm · 999 is 59.94 m; 5,000 mm is the most
  expect(problemOf({ widthMm: 60 }, picture(1, 999))).toBe('side-too-long');
  expect(problemOf({ heightMm: 60 }, picture(999, 1))).toBe('side-too-long');
  expect(problemOf({ widthMm: 100 }, picture(1, 50))).toBeNull();
  expect(problemOf({ widthMm: 100 }, picture(2, 101))).toBe('side-too-long');
  expect(problemOf({ widthMm: 60, heightMm: 40 }, picture(1, 999))).toBeNull();
  expect(problemOf({}, picture(1, 200, 1))).toBe('side-too-long');
});

test('a picture without a size of its own wants one given', () => {
  expect(problemOf({}, picture(600, 400))).toBe('no-size');
});

test('stretched for the paper and printed, every edge of the picture is within a pixel of where it was wanted', () => {
  const wishes = fc.record({
    widthMm: fc.double({ min: 20, max: 400, noNaN: true }),
    heightMm: fc.double({ min: 20, max: 400, noNaN: true }),
    borderMm: fc.constantFrom(0, 3, 9.3),
    fit: fc.constantFrom('contain', 'cover', 'fill'),
    stretchXPercent: fc.double({ min: 0, max: 10, noNaN: true }),
    stretchYPercent: fc.double({ min: 0, max: 10, noNaN: true }),
  });
  fc.assert(
    fc.property(wishes, (wish) => {
      const job = jobOf({ ...wish, dpi: 127 });
      const [print, plate] = [layPrint(job, picture(300, 200)), layPlate(job, picture(300, 200))];
      const [x, y] = [1 - wish.stretchXPercent / 100, 1 - wish.stretchYPercent / 100];
      expect(plate.widthMm * x).toBeCloseTo(print.widthMm, 9);
      expect(plate.heightMm * y).toBeCloseTo(print.heightMm, 9);
      const edges = ({ box }: typeof print) => [
        [box.xPx, box.xPx + box.widthPx],
        [box.yPx, box.yPx + box.heightPx],
      ];
      for (const [axis, share] of [x, y].entries())
        for (const end of [0, 1]) {
          const wanted = edges(print)[axis]![end]!;
          expect(Math.abs(edges(plate)[axis]![end]! * share - wanted)).toBeLessThanOrEqual(1);
        }
      expect(plate.cropPercent).toEqual(print.cropPercent);
      // the same of the picture is shown
      expect(plate.x.stepPx * plate.box.widthPx).toBeCloseTo(print.x.stepPx * print.box.widthPx, 6);
      expect(plate.y.stepPx * plate.box.heightPx).toBeCloseTo(print.y.stepPx * print.box.heightPx, 6);
    }),
    { numRuns: 200, seed: 9 },
  );
});

test('a plate that only stretch makes too large for memory is told', () => {
  const most = { widthMm: 2300, heightMm: 2300, dpi: 1000 };
  expect(problemOf(most, picture(100, 100))).toBeNull();
  expect(problemOf({ ...most, stretchXPercent: 5 }, picture(100, 100))).toBe('plate-too-large');
});
