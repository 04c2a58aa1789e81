import fc from 'fast-check';
import { expect, test } from 'vitest';
import { createBitmap, getBit, setBit } from '../../../src/core/bitmap.ts';
import { openSpot } from '../../../src/core/spot/coverage.ts';
import type { Beam } from '../../../src/core/spot/regions.ts';
import { openEtchedRow } from '../../../src/core/spot/rows.ts';
import { slowEtchedPx } from './slow.ts';

const plates = fc
  .record({ widthPx: fc.integer({ min: 1, max: 70 }), heightPx: fc.integer({ min: 1, max: 9 }) })
  .chain(({ widthPx, heightPx }) =>
    fc.array(fc.boolean(), { minLength: widthPx * heightPx, maxLength: widthPx * heightPx }).map((fired) => {
      const map = createBitmap(widthPx, heightPx);
      fired.forEach((on, i) => {
        setBit(map, i % widthPx, Math.floor(i / widthPx), on ? 1 : 0);
      });
      return map;
    }),
  );

test.each<[number, Beam]>([
  [0.7, 'pulse'],
  [1.9685, 'pulse'],
  [1.25, 'sweep'],
  [3.5, 'pulse'],
  [3.1, 'sweep'],
])('single pixels add up to the etched area: spot %s, %s', (spotPx, beam) => {
  const etched = openEtchedRow({ spotPx, beam });
  const area = openSpot({ spotPx, beam });
  fc.assert(
    fc.property(plates, (map) => {
      const row = new Float32Array(map.widthPx);
      for (let y = 0; y < map.heightPx; y++) {
        etched(map, y, row);
        const sum = row.reduce((total, share) => total + share, 0);
        expect(Math.abs(sum - area(map, y, y + 1))).toBeLessThan(1e-4);
      }
    }),
    { seed: 7, numRuns: 60 },
  );
});

test.each([1.9685, 3.5])('a pixel apart from all others says where its mark lies: spot %s', (spotPx) => {
  const map = createBitmap(41, 7);
  setBit(map, 33, 3, 1);
  const etched = openEtchedRow({ spotPx, beam: 'pulse' });
  const row = new Float32Array(41);
  let moment = 0;
  let sum = 0;
  for (let y = 0; y < 7; y++) {
    etched(map, y, row);
    row.forEach((share, x) => {
      moment += share * x;
      sum += share;
    });
  }
  expect(moment / sum).toBeCloseTo(33, 4);
  expect(sum).toBeCloseTo(slowEtchedPx(map, { spotPx, beam: 'pulse' }, 200), 2);
});

test('without a beam a pixel is etched or not', () => {
  fc.assert(
    fc.property(plates, (map) => {
      const row = new Float32Array(map.widthPx);
      for (let y = 0; y < map.heightPx; y++) {
        openEtchedRow(null)(map, y, row);
        row.forEach((share, x) => {
          expect(share).toBe(getBit(map, x, y));
        });
      }
    }),
    { seed: 7, numRuns: 20 },
  );
});
