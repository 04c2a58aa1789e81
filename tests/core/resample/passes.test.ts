import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { AxisMap } from '../../../src/core/geometry.ts';
import { type AxisFilter, axisFilter } from '../../../src/core/resample/filter.ts';
import type { Passes } from '../../../src/core/resample/passes.ts';
import { openPlain } from '../../../src/core/resample/plain.ts';
import { openVector } from '../../../src/core/resample/vector.ts';
import { rowStream } from '../../../src/core/rng.ts';

/** Noise of all tones, of which much is at the ends of the scale, through both passes: every row of slots turned once. */
function tonesOf(passes: Passes, { sourcePx, outPx }: AxisMap, down: AxisFilter, seed: number): number[][] {
  const { padded, at } = passes;
  for (let slot = 0; slot < down.taps; slot++) {
    const random = rowStream(seed, 0, slot);
    for (let x = 0; x < sourcePx; x++) {
      const noise = (random() % 196608) - 98304;
      padded[at + x] = Math.max(-32768, Math.min(32767, noise));
    }
    padded.fill(padded[at]!, 0, at);
    padded.fill(padded[at + sourcePx - 1]!, at + sourcePx);
    passes.across(slot);
  }
  return Array.from(down.start, (_, row) => {
    const tone = new Uint16Array(outPx);
    passes.down(
      row,
      Int32Array.from({ length: down.taps }, (_, t) => (t + row) % down.taps),
      tone,
    );
    return [...tone];
  });
}

describe('passes over vectors', () => {
  test('give the bits of the plain ones: enlarged, reduced, cropped, of any width', () => {
    const axis = fc
      .record({
        sourcePx: fc.integer({ min: 1, max: 70 }),
        outPx: fc.integer({ min: 1, max: 70 }),
        from: fc.double({ min: 0, max: 0.9, noNaN: true }),
        share: fc.double({ min: 0.05, max: 1, noNaN: true }),
      })
      .map(({ sourcePx, outPx, from, share }) => {
        const startPx = from * sourcePx;
        return { sourcePx, outPx, startPx, stepPx: ((sourcePx - startPx) * share) / outPx };
      });
    fc.assert(
      fc.property(axis, axis, fc.nat(), (x, y, seed) => {
        const across = axisFilter(x);
        const down = axisFilter(y);
        const vector = openVector(x.sourcePx, across, down);
        // a test that compares the plain passes with themselves would say nothing
        if (vector === null) throw new Error('this engine has no vectors');
        expect(tonesOf(vector, x, down, seed)).toEqual(
          tonesOf(openPlain(x.sourcePx, across, down), x, down, seed),
        );
      }),
      { seed: 1, numRuns: 300 },
    );
  });
});
