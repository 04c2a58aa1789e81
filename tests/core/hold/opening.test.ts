import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Bitmap } from '../../../src/core/bitmap.ts';
import { eachOpened, type OpeningOptions, octagonFor } from '../../../src/core/hold/opening.ts';
import { fromTest, thinPixels } from './slow.ts';

function fastThin(map: Bitmap, options: OpeningOptions): Set<string> {
  const thin = new Set<string>();
  eachOpened(map, options, ({ firstRow, rows, stride, origin, removed }) => {
    // the rows above and below are promised too, for whoever looks at neighbours
    for (let y = -1; y <= rows; y++) {
      for (let x = 0; x < map.widthPx; x++) {
        const word = removed[origin + y * stride + (x >> 5)]!;
        if ((word << (x & 31)) & 0x80000000) thin.add(`${x},${firstRow + y}`);
      }
    }
  });
  return thin;
}

/** Random rectangles and dots, so that wide and thin features both occur. */
const plates = fc
  .record({
    widthPx: fc.integer({ min: 1, max: 75 }),
    heightPx: fc.integer({ min: 1, max: 40 }),
    boxes: fc.array(
      fc.tuple(fc.nat(80), fc.nat(45), fc.integer({ min: 1, max: 30 }), fc.integer({ min: 1, max: 20 })),
      {
        maxLength: 12,
      },
    ),
    bands: fc.array(fc.tuple(fc.nat(90), fc.integer({ min: 1, max: 14 }), fc.boolean()), { maxLength: 3 }),
  })
  .map(({ widthPx, heightPx, boxes, bands }) =>
    fromTest(widthPx, heightPx, (x, y) => {
      let on = false;
      for (const [left, top, w, h] of boxes) {
        if (x >= left && x < left + w && y >= top && y < top + h) on = !on;
      }
      for (const [at, w, down] of bands) {
        const along = down ? x - y + 20 : x + y;
        if (along >= at && along < at + w) on = !on;
      }
      return on;
    }),
  );

describe('features thinner than a width', () => {
  test('are those that neither a square nor an octagon of that width can cover', () => {
    fc.assert(
      fc.property(
        plates,
        fc.integer({ min: 2, max: 13 }),
        fc.constantFrom('etched', 'kept'),
        fc.boolean(),
        (map, widthPx, side, goesOnOutside) => {
          expect(fastThin(map, { side, widthPx, goesOnOutside })).toEqual(
            thinPixels(map, side, widthPx, goesOnOutside),
          );
        },
      ),
      { seed: 7, numRuns: 60 },
    );
  });

  test('are the same across the borders of blocks and with stones wider than a word', () => {
    const map = fromTest(150, 300, (x, y) => (x - 75) ** 2 + (y - 128) ** 2 < 3600 && (x + y) % 97 > 2);
    for (const widthPx of [3, 33]) {
      expect(fastThin(map, { side: 'etched', widthPx })).toEqual(thinPixels(map, 'etched', widthPx));
    }
  });

  test('a straight wall is thin one pixel under the width, not at it', () => {
    const wall = fromTest(64, 30, (x) => x >= 20 && x < 29);
    expect(fastThin(wall, { side: 'etched', widthPx: 9 }).size).toBe(0);
    expect(fastThin(wall, { side: 'etched', widthPx: 10 }).size).toBe(9 * 30);
  });

  test('a slanting wall and a round dot are measured across, not along the axes', () => {
    // perpendicular width of 29 antidiagonals: (29 + 1) / √2 = 21.2 px
    const slanting = fromTest(120, 120, (x, y) => Math.abs(x - y) <= 14);
    const left = [...fastThin(slanting, { side: 'etched', widthPx: 20, goesOnOutside: true })];
    expect(left).toEqual([]);
    const dot = fromTest(60, 60, (x, y) => (x - 30) ** 2 + (y - 30) ** 2 <= 100); // 21 px across
    const rest = [...fastThin(dot, { side: 'etched', widthPx: 19 })].length;
    expect(rest).toBeLessThan(50); // of 317: its rim
    expect([...fastThin(dot, { side: 'etched', widthPx: 22 })].length).toBeGreaterThan(300);
  });

  test('the octagon is as wide as the square it lies in, and nearly as wide across its slants', () => {
    for (let widthPx = 4; widthPx < 80; widthPx++) {
      const { square, slant } = octagonFor(widthPx);
      expect(square + 2 * slant).toBe(widthPx);
      expect(square).toBeGreaterThanOrEqual(2);
      expect(Math.abs(Math.SQRT2 * (square + slant) - widthPx)).toBeLessThan(1.1);
    }
  });
});
