import fc from 'fast-check';
import { expect, test } from 'vitest';
import { createBitmap, getBit, setBit } from '../../../src/core/bitmap.ts';
import { columnExtents, rowExtents } from '../../../src/core/time/extents.ts';

const plate = fc
  .tuple(fc.integer({ min: 1, max: 40 }), fc.integer({ min: 1, max: 9 }), fc.integer({ min: 1, max: 20 }))
  .chain(([widthPx, heightPx, rarity]) =>
    fc
      .array(fc.integer({ min: 0, max: rarity }), {
        minLength: widthPx * heightPx,
        maxLength: widthPx * heightPx,
      })
      .map((dots) => {
        const map = createBitmap(widthPx, heightPx);
        dots.forEach((dot, i) => {
          setBit(map, i % widthPx, Math.floor(i / widthPx), dot === 0 ? 1 : 0);
        });
        return map;
      }),
  );

test('rows and columns know their first and last mark', () => {
  fc.assert(
    fc.property(plate, (map) => {
      const rows = rowExtents(map);
      const columns = columnExtents(map);
      const xs = Array.from({ length: map.widthPx }, (_, x) => x);
      const ys = Array.from({ length: map.heightPx }, (_, y) => y);
      expect([...rows.first]).toEqual(ys.map((y) => xs.findIndex((x) => getBit(map, x, y) === 1)));
      expect([...rows.last]).toEqual(ys.map((y) => xs.findLastIndex((x) => getBit(map, x, y) === 1)));
      expect([...columns.first]).toEqual(xs.map((x) => ys.findIndex((y) => getBit(map, x, y) === 1)));
      expect([...columns.last]).toEqual(xs.map((x) => ys.findLastIndex((y) => getBit(map, x, y) === 1)));
      expect(rows.lengthPx).toBe(map.widthPx);
      expect(columns.lengthPx).toBe(map.heightPx);
    }),
    { seed: 7, numRuns: 200 },
  );
});
