import fc from 'fast-check';
import { expect, test } from 'vitest';
import { exactFraction } from '../../../src/io/formats/fraction.ts';

test.each([
  [500, 500, 1],
  [300.5, 601, 2],
  [499.8, 2499, 5],
  [1270, 1270, 1],
  [72.009, 72_009, 1000],
  [0.125, 1, 8],
  [900_000_301 / 3_000_001, 900_000_301, 3_000_001],
])('%f is %i/%i', (value, over, under) => {
  expect(exactFraction(value)).toEqual({ over, under });
});

const gcd = (a: number, b: number): number => (b === 0 ? a : gcd(b, a % b));

test('a decimal of five places comes back exactly, reduced', () => {
  fc.assert(
    fc.property(fc.integer({ min: 1, max: 300_000_000 }), (hundredThousandths) => {
      const { over, under } = exactFraction(hundredThousandths / 100_000);
      const common = gcd(hundredThousandths, 100_000);
      expect({ over, under }).toEqual({ over: hundredThousandths / common, under: 100_000 / common });
    }),
    { seed: 1 },
  );
});

test('any resolution fits 32 bits and is wrong by less than 1e-12 of it', () => {
  fc.assert(
    fc.property(fc.double({ min: 1, max: 30_000, noNaN: true }), (value) => {
      const { over, under } = exactFraction(value);
      expect(Math.max(over, under)).toBeLessThan(2 ** 32);
      expect(Math.abs(over / under / value - 1)).toBeLessThan(1e-12);
    }),
    { seed: 2 },
  );
});
