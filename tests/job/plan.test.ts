import { expect, test } from 'vitest';
import { JobError } from '../../src/core/errors.ts';
import { resolveJob } from '../../src/job/layers.ts';
import { layPlate } from '../../src/job/plan.ts';

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
