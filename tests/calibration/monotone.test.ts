import fc from 'fast-check';
import { expect, test } from 'vitest';
import { rising } from '../../src/core/calibration/monotone.ts';

/** Slow and obvious: a value is the largest, over starts up to it, of the least mean, over ends from it on. */
const slowly = (values: readonly number[]): number[] =>
  values.map((_, i) => {
    let most = Number.NEGATIVE_INFINITY;
    for (let from = 0; from <= i; from++) {
      let least = Number.POSITIVE_INFINITY;
      for (let to = i; to < values.length; to++) {
        const part = values.slice(from, to + 1);
        least = Math.min(least, part.reduce((a, b) => a + b, 0) / part.length);
      }
      most = Math.max(most, least);
    }
    return most;
  });

const numbers = fc.array(fc.double({ min: -1, max: 1, noNaN: true }), { minLength: 1, maxLength: 12 });

test('is the max-min of means (Robertson, Wright & Dykstra 1988, theorem 1.4.4; from memory)', () => {
  fc.assert(
    fc.property(numbers, (values) => {
      const got = rising(
        values,
        values.map(() => 1),
      );
      slowly(values).forEach((want, i) => {
        expect(got[i]).toBeCloseTo(want, 9);
      });
    }),
    { seed: 3 },
  );
});

test('heavier values pull harder', () => expect(rising([1, 0, 2], [3, 1, 1])).toEqual([0.75, 0.75, 2]));
