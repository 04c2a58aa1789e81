import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { type ClearingWish, clearingRatio, planClearing } from '../../../src/core/clearing/plan.ts';
import { presses } from '../../../src/core/presses.ts';

const wish = (more: Partial<ClearingWish> = {}): ClearingWish => ({
  depthMm: 2,
  finePassMm: 0.5,
  clearPassMm: 0.5,
  insetMm: 0.15,
  cellMm: 0.1016,
  neededDepthMm: (gapMm) => presses.baren.neededDepthMm(gapMm),
  ...more,
});

describe('which passes a relief wants', () => {
  test('under a baren: the gaps of the carver’s table that each depth serves', () => {
    const { finePasses, steps } = planClearing(wish());
    expect(finePasses).toBe(1);
    // woodblock.com, encyclopedia, chapter 18: 10 mm wants 0.7, 20 wants 1.3, 30 wants 2.0; straight between them
    const gaps = [0.5 / 0.07, 10 + (10 * 0.3) / 0.6, 20 + (10 * 0.2) / 0.7];
    expect(steps.map(({ gapsOverMm }) => Math.round(gapsOverMm * 10) / 10)).toEqual(
      gaps.map((mm) => Math.round(mm * 10) / 10),
    );
    expect(steps.map(({ toDepthMm }) => toDepthMm)).toEqual([1, 1.5, 2]);
    expect(steps.map(({ passes }) => passes)).toEqual([1, 1, 1]);
    expect(steps.map(({ insetMm }) => Number(insetMm.toFixed(3)))).toEqual([0.15, 0.3, 0.45]);
  });

  test('under a roller of 25 mm: chords whose sagitta is the depth', () => {
    const neededDepthMm = (gapMm: number) => presses.roller.neededDepthMm(gapMm, 25);
    const { steps } = planClearing(wish({ neededDepthMm }));
    // g = 2 √(R² − (R − d)²)
    const chords = [0.5, 1, 1.5].map((depth) => 2 * Math.sqrt(25 ** 2 - (25 - depth) ** 2));
    for (const [n, { gapsOverMm }] of steps.entries()) expect(gapsOverMm).toBeCloseTo(chords[n]!, 1);
  });

  test('where one pass goes as deep as wanted there is nothing to clear', () => {
    expect(planClearing(wish({ depthMm: 0.5 }))).toEqual({ finePasses: 1, steps: [] });
  });

  test('passes that are too shallow for narrow ground are repeated on the plate itself', () => {
    // 0.25 mm at 0.1 mm a pass
    expect(planClearing(wish({ finePassMm: 0.1, clearPassMm: 0.1, depthMm: 0.5 })).finePasses).toBe(3);
  });

  test('goes as deep as wanted in no more passes than that takes, with no more than eight plates, each further from the walls', () => {
    const mm = (least: number, most: number) => fc.double({ min: least, max: most, noNaN: true });
    fc.assert(
      fc.property(
        mm(0.05, 6),
        mm(0.02, 1),
        mm(0.02, 1),
        mm(0, 0.3),
        (depthMm, finePassMm, clearPassMm, insetMm) => {
          const { finePasses, steps } = planClearing(
            wish({ depthMm, finePassMm, clearPassMm, insetMm, neededDepthMm: (gap) => 0.07 * gap }),
          );
          const clearing = steps.reduce((sum, { passes }) => sum + passes, 0);
          const reached = finePasses * finePassMm + clearing * clearPassMm;
          expect(reached).toBeGreaterThanOrEqual(depthMm - 1e-6);
          if (clearing > 0) expect(reached - clearPassMm).toBeLessThan(depthMm);
          expect(steps.length).toBeLessThanOrEqual(8);
          expect(steps.at(-1)?.toDepthMm ?? reached).toBeCloseTo(reached, 9);
          for (const [n, step] of steps.entries()) {
            const before = steps[n - 1];
            if (!before) continue;
            expect(step.gapsOverMm).toBeGreaterThanOrEqual(before.gapsOverMm);
            expect(step.insetMm).toBeGreaterThanOrEqual(before.insetMm);
          }
        },
      ),
      { seed: 4, numRuns: 300 },
    );
  });
});

test('the pitch of a clearing plate is a whole number of the plate’s, and no wider than the spot but for a twentieth', () => {
  expect(clearingRatio(25.4 / 500, 0.1)).toBe(2);
  expect(clearingRatio(25.4 / 1000, 0.1)).toBe(4);
  expect(clearingRatio(25.4 / 500, 0.16)).toBe(3);
  expect(clearingRatio(25.4 / 300, 0.1)).toBe(1);
  expect(clearingRatio(25.4 / 100, 0.1)).toBe(1);
});
