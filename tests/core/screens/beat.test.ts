import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { beatOf } from '../../../src/core/screens/beat.ts';
import { clusteredDots } from './clustered.ts';

describe('moiré of two screens of dots', () => {
  test.each(clusteredDots.moire)(
    'equal rulings $angleDeg° apart: $periods periods',
    ({ angleDeg, periods }) => {
      const { angleDeg: between, periodMm } = beatOf(
        { rulingLpi: 50.8, angleDeg: 15 },
        { rulingLpi: 50.8, angleDeg: 15 + angleDeg },
      );
      expect(between).toBeCloseTo(angleDeg, 9);
      expect(periodMm / 0.5).toBeCloseTo(periods, 9);
    },
  );

  test('two rulings at one angle beat with the difference of their rulings', () => {
    const { angleDeg, periodMm } = beatOf({ rulingLpi: 50, angleDeg: 45 }, { rulingLpi: 60, angleDeg: 135 });
    expect(angleDeg).toBe(0);
    expect(periodMm).toBeCloseTo(2.54, 9);
  });

  test('a screen over itself, or turned by a right angle, has no moiré', () => {
    for (const turned of [0, 90, 180, -90])
      expect(beatOf({ rulingLpi: 65, angleDeg: 30 }, { rulingLpi: 65, angleDeg: 30 + turned }).periodMm).toBe(
        Number.POSITIVE_INFINITY,
      );
  });

  test('is the longest period among all pairs of rows, whichever screen comes first', () => {
    const screen = fc.record({
      rulingLpi: fc.double({ min: 10, max: 300, noNaN: true }),
      angleDeg: fc.double({ min: 0, max: 180, noNaN: true }),
    });
    const law = fc.property(screen, screen, (one, other) => {
      const rows = ({ rulingLpi, angleDeg }: typeof one): [number, number][] =>
        [0, 90, 180, 270].map((by) => {
          const angle = ((angleDeg + by) * Math.PI) / 180;
          return [(rulingLpi / 25.4) * Math.cos(angle), (rulingLpi / 25.4) * Math.sin(angle)];
        });
      const slips = rows(one).flatMap(([fx, fy]) =>
        rows(other).map(([gx, gy]) => Math.hypot(fx - gx, fy - gy)),
      );
      const { periodMm } = beatOf(one, other);
      expect(1 / periodMm).toBeCloseTo(Math.min(...slips), 9);
      expect(beatOf(other, one).periodMm).toBeCloseTo(periodMm, 6);
    });
    fc.assert(law, { seed: 1, numRuns: 200, examples: [] });
  });
});
