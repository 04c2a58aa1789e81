import { expect, test } from 'vitest';
import { ostromoukhovTriples } from '../../../src/core/screens/diffusion/ostromoukhov.ts';

// V. Ostromoukhov, SIGGRAPH 2001: weights were optimised at a few levels and drawn out in straight lines between.
const PUBLISHED_KNOTS = [0, 1, 2, 3, 4, 10, 22, 36, 64, 72, 77, 85, 95, 107, 127];

type Fraction = readonly [bigint, bigint];
const minus = ([a, b]: Fraction, [c, d]: Fraction): Fraction => [a * d - c * b, b * d];
const isZero = ([a]: Fraction): boolean => a === 0n;

/** Weights ahead and below-behind as exact shares of 1. */
const shares = ostromoukhovTriples.map((triple): readonly [Fraction, Fraction] => {
  const sum = BigInt(triple[0] + triple[1] + triple[2]);
  return [
    [BigInt(triple[0]), sum],
    [BigInt(triple[1]), sum],
  ];
});

test('the table has 128 levels, no negative weight, and the published ends', () => {
  expect(ostromoukhovTriples).toHaveLength(128);
  expect(ostromoukhovTriples.flat().every((weight) => Number.isInteger(weight) && weight >= 0)).toBe(true);
  expect(ostromoukhovTriples[0]).toEqual([13, 0, 5]);
  expect(ostromoukhovTriples[64]).toEqual([1, 1, 0]);
  expect(ostromoukhovTriples[127]).toEqual([4, 1, 1]);
});

test('normalised weights lie on straight lines, exactly, with corners only at the published levels', () => {
  const corners = [0, 127];
  for (let level = 1; level < 127; level++) {
    const bends = ([0, 1] as const).some((column) => {
      const [before, here, after] = [level - 1, level, level + 1].map((i) => shares[i]![column]);
      return !isZero(minus(minus(after!, here!), minus(here!, before!)));
    });
    if (bends) corners.push(level);
  }
  expect(corners.sort((a, b) => a - b)).toEqual(PUBLISHED_KNOTS);
});
