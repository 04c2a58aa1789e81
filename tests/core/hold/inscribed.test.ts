import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { type Bitmap, createBitmap, fillRow } from '../../../src/core/bitmap.ts';
import { findWide } from '../../../src/core/hold/inscribed.ts';
import { createDistance } from '../../../src/core/hold/nearest.ts';
import type { PlateSide } from '../../../src/core/hold/words.ts';
import { fromTest, onSide } from './slow.ts';

/** Distance to the nearest pixel that is not of the side, by looking at all of them and at the frame around. */
function slowDistances(map: Bitmap, side: PlateSide): number[] {
  const inside = onSide(map, side, false);
  const obstacles: [number, number][] = [];
  for (let y = -1; y <= map.heightPx; y++)
    for (let x = -1; x <= map.widthPx; x++) if (!inside(x, y)) obstacles.push([x, y]);
  return Array.from({ length: map.widthPx * map.heightPx }, (_, i) => {
    const x = i % map.widthPx;
    const y = Math.floor(i / map.widthPx);
    return Math.min(...obstacles.map(([ox, oy]) => Math.hypot(ox - x, oy - y)));
  });
}

const blots = fc
  .record({
    widthPx: fc.integer({ min: 1, max: 56 }),
    heightPx: fc.integer({ min: 1, max: 56 }),
    dots: fc.array(fc.tuple(fc.nat(60), fc.nat(60), fc.integer({ min: 1, max: 30 })), { maxLength: 7 }),
    specks: fc.array(fc.tuple(fc.nat(60), fc.nat(60)), { maxLength: 9 }),
  })
  .map(({ widthPx, heightPx, dots, specks }) =>
    fromTest(
      widthPx,
      heightPx,
      (x, y) =>
        dots.some(([cx, cy, r]) => (x - cx) ** 2 + (y - cy) ** 2 < r * r) &&
        !specks.some(([sx, sy]) => sx === x && sy === y),
    ),
  );
const sides = fc.constantFrom<PlateSide[]>('etched', 'kept');

function rectangles(
  widthPx: number,
  heightPx: number,
  boxes: readonly (readonly [number, number, number, number])[],
): Bitmap {
  const map = createBitmap(widthPx, heightPx);
  for (const [left, top, w, h] of boxes)
    for (let y = top; y < top + h; y++) fillRow(map.data, y * map.strideBytes, left, left + w, 1);
  return map;
}

describe('wide areas', () => {
  test('distances are those of the slow version', () => {
    fc.assert(
      fc.property(blots, sides, (map, side) => {
        const at = createDistance(map, side);
        slowDistances(map, side).forEach((distance, i) => {
          if (distance > 0) expect(at(i % map.widthPx, Math.floor(i / map.widthPx))).toBeCloseTo(distance, 9);
        });
      }),
      { seed: 3, numRuns: 8 },
    );
  });

  test('the widest of all is found, and its centre is where it says', () => {
    fc.assert(
      fc.property(blots, sides, fc.integer({ min: 1, max: 40 }), (map, side, limit) => {
        const slow = slowDistances(map, side);
        const widest = 2 * Math.max(0, ...slow) - 1;
        const found = findWide(map, side, limit);
        for (const { diameterPx, x, y } of found) {
          expect(diameterPx).toBeCloseTo(2 * slow[y * map.widthPx + x]! - 1, 9);
          expect(diameterPx).toBeGreaterThan(limit);
        }
        const most = Math.max(0, ...found.map(({ diameterPx }) => diameterPx));
        if (widest > limit + 1) expect(widest - most).toBeLessThanOrEqual(1);
        if (widest <= limit) expect(found).toEqual([]);
      }),
      { seed: 9, numRuns: 10 },
    );
  });

  test.each([9, 40, 90, 300])('every wide rectangle is told apart, limit %i px', (limit) => {
    const n = limit + 21;
    const map = rectangles(6 * n, 3 * n, [
      [10, 10, n, n + 40],
      [n + 11, 10, limit + 2, n],
      [3 * n, 5, limit - 2, 2 * n],
      [4 * n, 3, n + 8, n + 2],
    ]);
    const odd = (w: number): number => w - 1 + (w % 2);
    const found = findWide(map, 'etched', limit);
    expect(found.map(({ diameterPx }) => diameterPx).sort((a, b) => a - b)).toEqual(
      [odd(limit + 2), odd(n), odd(n + 2)].filter((w) => w > limit).sort((a, b) => a - b),
    );
    const round = found.find(({ diameterPx }) => diameterPx === odd(n + 2))!;
    expect(round.x).toBeGreaterThanOrEqual(4 * n + n / 2 - 1);
    expect(Math.abs(round.y - (3 + (n + 1) / 2))).toBeLessThanOrEqual(1);
  });

  test('a long even strip, wide alike at all its pixels, is measured to the pixel', () => {
    const map = rectangles(9000, 120, [[10, 20, 8900, 61]]);
    const [strip] = findWide(map, 'etched', 30);
    expect(strip!.diameterPx).toBe(61);
    expect(strip!.y).toBe(50);
  });

  test('two areas joined by a narrow neck stay two', () => {
    const map = rectangles(400, 120, [
      [10, 10, 100, 100],
      [200, 10, 80, 90],
      [110, 50, 90, 12],
    ]);
    // the second circle bulges a little into the neck
    expect(findWide(map, 'etched', 50).map(({ diameterPx }) => Math.floor(diameterPx))).toEqual([99, 79]);
  });

  test('a disc gives its own diameter and centre', () => {
    const map = fromTest(300, 280, (x, y) => Math.hypot(x - 140, y - 130) < 101.5);
    const [disc] = findWide(map, 'etched', 60);
    expect(Math.abs(disc!.diameterPx - 203)).toBeLessThanOrEqual(1.5);
    expect([disc!.x, disc!.y]).toEqual([140, 130]);
    expect(disc!.areaPx / (Math.PI * 101.5 ** 2)).toBeGreaterThan(0.9);
  });
});
