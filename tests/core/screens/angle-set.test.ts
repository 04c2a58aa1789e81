import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { chooseAngles } from '../../../src/core/screens/angle-set.ts';
import { beatOf } from '../../../src/core/screens/beat.ts';
import { cellNearest } from '../../../src/core/screens/dot/cell.ts';

/** Black, red, blue, yellow: common practice. */
const FOUR = [45, 75, 15, 0];

describe('angles of a set of dot screens', () => {
  test.each([
    [500, 45],
    [500, 65],
    [1000, 30],
    [1000, 45],
    [1000, 65],
    [1000, 100],
    [2000, 30],
    [2000, 85],
  ])('four at %d dpi and %d lpi: no two beat between 2 and 30 mm, or stand alike', (dpi, lpi) => {
    const { screens, beats } = chooseAngles(lpi, FOUR, dpi / 25.4);
    expect(screens.length).toBe(4);
    expect(beats.length).toBe(6);
    for (const { periodMm, seen } of beats) {
      expect(periodMm).toBeLessThanOrEqual(2);
      expect(seen).toBe(false);
    }
  });

  test('the plain angles at 30 lpi do beat, so there was something to choose', () => {
    const plain = FOUR.map((angleDeg) => ({ rulingLpi: 30, angleDeg }));
    expect(beatOf(plain[1]!, plain[3]!).periodMm).toBeGreaterThan(2);
  });

  test('are cells of the pixel grid near to what was asked for, told as achieved, with what is left', () => {
    const law = fc.property(
      fc.integer({ min: 25, max: 100 }),
      fc.constantFrom(300, 500, 600, 1000, 1270, 2000),
      fc.integer({ min: 1, max: 5 }),
      (lpi, dpi, count) => {
        const angles = [...FOUR, 30].slice(0, count);
        const { screens, beats } = chooseAngles(lpi, angles, dpi / 25.4);
        for (const { cell, rulingLpi, angleDeg } of screens) {
          expect(Math.abs(lpi / rulingLpi - 1)).toBeLessThanOrEqual(0.12 + 1e-9);
          // the screen that is asked for them draws just this cell
          expect(cellNearest(dpi / rulingLpi, angleDeg)).toEqual(cell);
        }
        expect(beats.length).toBe((count * (count - 1)) / 2);
        for (const {
          screens: [i, j],
          periodMm,
          seen,
        } of beats) {
          const beat = beatOf(screens[i]!, screens[j]!);
          expect(periodMm).toBe(beat.periodMm);
          expect(seen).toBe(beat.periodMm > 2 && beat.periodMm < 30);
        }
      },
    );
    fc.assert(law, { seed: 1, numRuns: 25 });
  });

  test('one screen stands as it was asked for, as near as the grid has it', () => {
    const { screens } = chooseAngles(50, [45], 1000 / 25.4);
    expect(screens[0]!.cell).toEqual(cellNearest(20, 45));
  });
});
