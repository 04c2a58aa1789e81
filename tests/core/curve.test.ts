import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { type Knot, monotoneCurve } from '../../src/core/curve.ts';

/** Fritsch & Carlson 1980 with Fritsch–Butland slopes, computed with scipy 1.10's PchipInterpolator. */
const KNOTS: readonly Knot[] = [
  [0, 0],
  [0.1, 0.16],
  [0.25, 0.37],
  [0.5, 0.68],
  [0.75, 0.88],
  [0.9, 0.96],
  [1, 1],
];

describe('against scipy 1.10, PchipInterpolator', () => {
  const curve = monotoneCurve(KNOTS);
  test.each([
    [0.2, 0.302848],
    [0.3, 0.436758],
    [0.6, 0.770304],
  ])('at %d', (x, y) => expect(curve.at(x)).toBeCloseTo(y, 6));

  test('wanted .5 is sent as .347445', () => expect(curve.inverse(0.5)).toBeCloseTo(0.347445, 6));
});

test('goes through its knots and stays level beyond them', () => {
  const curve = monotoneCurve(KNOTS);
  for (const [x, y] of KNOTS) expect(curve.at(x)).toBeCloseTo(y, 12);
  expect([curve.at(-1), curve.at(2), curve.inverse(-1), curve.inverse(2)]).toEqual([0, 1, 0, 1]);
});

const heights = fc.array(fc.double({ min: 0, max: 1, noNaN: true }), { minLength: 2, maxLength: 17 });

test('rises, never leaves the span between two knots, and its inverse comes back', () => {
  fc.assert(
    fc.property(heights, (ys) => {
      const knots = ys.map((y, i): Knot => [(i / (ys.length - 1)) ** 1.5, y]);
      const curve = monotoneCurve(knots);
      let before = curve.at(0);
      for (let i = 1; i <= 200; i++) {
        const y = curve.at(i / 200);
        expect(y).toBeGreaterThanOrEqual(before - 1e-12);
        before = y;
        if (y > curve.at(0) && y < curve.at(1)) expect(curve.at(curve.inverse(y))).toBeCloseTo(y, 6);
      }
    }),
    { seed: 1, numRuns: 60 },
  );
});

test('what is level is inverted to where it is first reached', () => {
  const curve = monotoneCurve([
    [0, 0],
    [0.4, 1],
    [1, 1],
  ]);
  expect(curve.inverse(1)).toBeCloseTo(0.4, 8);
});

test('refuses what is no curve', () => {
  expect(() => monotoneCurve([[0, 0]])).toThrow(RangeError);
  expect(() =>
    monotoneCurve([
      [0, 0],
      [0, 1],
    ]),
  ).toThrow(RangeError);
});
