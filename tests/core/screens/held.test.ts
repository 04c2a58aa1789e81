import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { heldSteps, opened, paperTonesOf, widestStep } from '../../../src/core/screens/held.ts';
import { indexIn } from '../../../src/core/screens/tiled.ts';
import { stones } from './openness.ts';

const pattern = fc
  .record({
    widthPx: fc.integer({ min: 3, max: 13 }),
    heightPx: fc.integer({ min: 1, max: 5 }),
    shift: fc.nat(12),
  })
  .chain(({ widthPx, heightPx, shift }) =>
    fc.record({
      repeat: fc.constant({ widthPx, heightPx, shiftPx: shift % widthPx }),
      values: fc
        .array(fc.nat(4), { minLength: widthPx * heightPx, maxLength: widthPx * heightPx })
        .map((values) => Int32Array.from(values)),
    }),
  );

describe('openings of a pattern that repeats', () => {
  test('every level is what stones can cover, one place after the other', () => {
    const law = fc.property(
      pattern,
      fc.integer({ min: 2, max: 5 }),
      fc.constantFrom('ink' as const, 'paper' as const),
      ({ repeat, values }, px, side) => {
        const found = opened(values, repeat, side, px);
        for (let level = 1; level <= 5; level++) {
          const isIn = (value: number): boolean => value < level === (side === 'ink');
          const at = (x: number, y: number): boolean => isIn(values[indexIn(repeat, x, y)]!);
          const covered = new Set<number>();
          for (const stone of stones(px))
            for (let y = 0; y < repeat.heightPx; y++)
              for (let x = 0; x < repeat.widthPx; x++)
                if (stone.every(([dx, dy]) => at(x + dx, y + dy)))
                  for (const [dx, dy] of stone) covered.add(indexIn(repeat, x + dx, y + dy));
          for (let i = 0; i < values.length; i++) expect(isIn(found[i]!)).toBe(covered.has(i));
        }
      },
    );
    fc.assert(law, { seed: 1, numRuns: 150 });
  });
});

test('without a least width every rank is a step of its own, and turns half-way between its neighbours', () => {
  const ranks = Int32Array.from([3, 0, 4, 1, 2]);
  const held = heldSteps(ranks, 5, { widthPx: 5, heightPx: 1, shiftPx: 2 }, { inkPx: 1, paperPx: 1 });
  expect([...held.inkPx]).toEqual([0, 1, 2, 3, 4, 5]);
  expect([...held.steps]).toEqual([...ranks]);
  expect([...paperTonesOf(held)]).toEqual(
    [3.5, 0.5, 4.5, 1.5, 2.5].map((rank) => Math.floor((rank / 5) * 65535)),
  );
});

test('ranks of several pixels, and ranks of none, are steps of as many pixels', () => {
  const ranks = Int32Array.from([6, 0, 6, 6, 2]);
  const held = heldSteps(ranks, 9, { widthPx: 5, heightPx: 1, shiftPx: 2 }, { inkPx: 1, paperPx: 1 });
  expect([...held.inkPx]).toEqual([0, 1, 2, 5]);
  expect([...held.steps]).toEqual([2, 0, 2, 2, 1]);
  expect(widestStep(held)).toBe(0.6);
});

test('where no level holds, what is nearer of paper and solid is drawn', () => {
  const ranks = Int32Array.from({ length: 4 }, (_, i) => i);
  const held = heldSteps(ranks, 4, { widthPx: 2, heightPx: 2, shiftPx: 0 }, { inkPx: 2, paperPx: 2 });
  expect([...held.inkPx]).toEqual([0, 4]);
  expect([...paperTonesOf(held)]).toEqual(new Array(4).fill(32767));
});

test('every step is what stones can cover, and a step left out is one that they cannot', () => {
  const law = fc.property(
    pattern,
    fc.integer({ min: 1, max: 3 }),
    fc.integer({ min: 1, max: 3 }),
    (...given) => {
      const [{ repeat, values }, inkPx, paperPx] = given;
      const held = heldSteps(values, 5, repeat, { inkPx, paperPx });
      for (let step = 1; step < held.inkPx.length - 1; step++) {
        const ink = held.steps.map((own) => (own < step ? 0 : 1));
        expect(ink.filter((one) => one === 0).length).toBe(held.inkPx[step]);
        expect(opened(ink, repeat, 'ink', inkPx)).toEqual(ink);
        expect(opened(ink, repeat, 'paper', paperPx)).toEqual(ink);
      }
    },
  );
  fc.assert(law, { seed: 2, numRuns: 150 });
});
