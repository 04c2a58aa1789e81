import fc from 'fast-check';
import { expect, test } from 'vitest';
import { createBitmap, getBit, setBit } from '../../../src/core/bitmap.ts';
import { type PlaneSize, resizedBits } from '../../../src/core/proof/box.ts';

/** Overlap of [a, b) with pixel i. */
const overlap = (a: number, b: number, i: number): number => Math.max(0, Math.min(b, i + 1) - Math.max(a, i));

test('a reduced plane of bits has the mean of the area under each of its pixels', () => {
  const side = fc.integer({ min: 1, max: 41 });
  const sides = fc.record({ from: fc.tuple(side, side), to: fc.tuple(side, side) });
  fc.assert(
    fc.property(sides, fc.infiniteStream(fc.boolean()), fc.boolean(), ({ from, to }, dots, turned) => {
      const map = createBitmap(...from);
      for (let y = 0; y < map.heightPx; y++)
        for (let x = 0; x < map.widthPx; x++) setBit(map, x, y, dots.next().value ? 1 : 0);
      const size: PlaneSize = { widthPx: to[0], heightPx: to[1] };
      const rows = resizedBits(
        { data: map.data, at: (y) => y * map.strideBytes },
        turned ? 0xff : 0,
        map,
        size,
      );
      const row = new Float32Array(size.widthPx);
      const [perX, perY] = [map.widthPx / size.widthPx, map.heightPx / size.heightPx];
      for (let y = 0; y < size.heightPx; y++) {
        rows(y, row);
        for (let x = 0; x < size.widthPx; x++) {
          let sum = 0;
          for (let v = 0; v < map.heightPx; v++)
            for (let u = 0; u < map.widthPx; u++)
              if (getBit(map, u, v) !== (turned ? 1 : 0))
                sum += overlap(x * perX, (x + 1) * perX, u) * overlap(y * perY, (y + 1) * perY, v);
          expect(row[x]).toBeCloseTo(sum / (perX * perY), 5);
        }
      }
    }),
    { seed: 11, numRuns: 60 },
  );
});
