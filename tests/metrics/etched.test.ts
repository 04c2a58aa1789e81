import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { type Bitmap, createBitmap, setBit } from '../../src/core/bitmap.ts';
import { openSpot } from '../../src/core/spot/coverage.ts';
import { etchedSurface, openEtchedShares } from './etched.mjs';

const fired = (side: number, at: readonly (readonly [x: number, y: number])[]): Bitmap => {
  const map = createBitmap(side, side);
  for (const [x, y] of at) setBit(map, x, y, 1);
  return map;
};
const sum = (values: Iterable<number>): number => {
  let total = 0;
  for (const value of values) total += value;
  return total;
};

describe('etched shares of pixels', () => {
  test.each([0.5, 1, Math.SQRT2, 2, 2.95, 3])('one pulse of %d px etches its disc', (spotPx) => {
    const shares = openEtchedShares(spotPx)(fired(5, [[2, 2]]));
    expect(sum(shares)).toBeCloseTo((Math.PI * spotPx ** 2) / 4, 4);
    expect(shares[2 * 5 + 1]).toBeCloseTo(shares[1 * 5 + 2]!, 4);
    expect(shares[0]).toBe(0);
  });

  // lens of two circles of radius r at distance d: 2 r² acos(d / 2r) − d √(r² − d²/4), elementary geometry
  test('two pulses side by side etch their discs less the lens between', () => {
    const lens = 2 * Math.acos(0.5) - Math.sqrt(0.75);
    const pair = openEtchedShares(2)(
      fired(6, [
        [2, 2],
        [3, 2],
      ]),
    );
    expect(sum(pair)).toBeCloseTo(2 * Math.PI - lens, 4);
  });

  test('where a mark lies off the middle, the shares lie there too', () => {
    const shares = openEtchedShares(2)(fired(9, [[7, 1]]));
    expect(shares[1 * 9 + 7]).toBeGreaterThan(0.99);
    expect(shares[1 * 9 + 8]).toBeCloseTo(shares[2 * 9 + 7]!, 4);
    expect(shares[1 * 9 + 8]).toBeGreaterThan(0.3);
    expect(shares[7 * 9 + 1]).toBe(0);
  });

  test('they add up to what the product predicts, whatever the pattern', () => {
    const spots = [1, 2, 2.95].map((spotPx) => ({
      shares: openEtchedShares(spotPx),
      area: openSpot({ spotPx, beam: 'pulse' }),
    }));
    const size = fc.integer({ min: 1, max: 40 });
    const bytes = fc.uint8Array({ minLength: 200, maxLength: 200 });
    fc.assert(
      fc.property(
        size,
        size,
        bytes,
        fc.constantFrom(...spots),
        (widthPx, heightPx, drawn, { shares, area }) => {
          const map = createBitmap(widthPx, heightPx);
          for (let y = 0; y < heightPx; y++)
            for (let x = 0; x < widthPx; x++)
              setBit(map, x, y, ((drawn[(y * 5 + (x >> 3)) % 200]! >> (x & 7)) & 1) as 0 | 1);
          const mean = sum(shares(map)) / (widthPx * heightPx);
          expect(mean).toBeCloseTo(area(map, 0, heightPx) / (widthPx * heightPx), 5);
        },
      ),
      { seed: 4, numRuns: 60 },
    );
  });

  test('a spot that reaches farther than the neighbours is refused', () => {
    expect(() => openEtchedShares(3.1)).toThrow(RangeError);
  });
});

test('the fine surface holds the middles under a mark, cut off at the edge', () => {
  const scale = 8;
  const wide = 3 * scale;
  const surface = etchedSurface(
    fired(3, [
      [1, 1],
      [2, 0],
    ]),
    2,
    scale,
  );
  const under = (x: number, y: number): boolean =>
    [
      [1.5, 1.5],
      [2.5, 0.5],
    ].some(([cx, cy]) => Math.hypot((x + 0.5) / scale - cx!, (y + 0.5) / scale - cy!) <= 1);
  const expected = Uint8Array.from({ length: wide * wide }, (_, i) =>
    under(i % wide, Math.floor(i / wide)) ? 1 : 0,
  );
  expect(surface).toEqual(expected);
});
