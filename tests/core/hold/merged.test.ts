import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Bitmap } from '../../../src/core/bitmap.ts';
import { findMerged } from '../../../src/core/hold/merged.ts';
import { fromTest, onSide } from './slow.ts';

/** Tiles of 32 × 32 px that merge, sampled sub-pixel by sub-pixel: coverage above 98 %, nine tenths of the kept lost. */
function slowTiles(map: Bitmap, radiusPx: number): boolean[][] {
  const fired = onSide(map, 'etched', false);
  const at = radiusPx < 1.5 ? [-0.25, 0.25] : [0];
  const reach = Math.ceil(radiusPx) + 1;
  const covered = (x: number, y: number, sx: number, sy: number): boolean => {
    for (let dy = -reach; dy <= reach; dy++)
      for (let dx = -reach; dx <= reach; dx++)
        if (fired(x + dx, y + dy) && (dx - sx) ** 2 + (dy - sy) ** 2 <= radiusPx ** 2) return true;
    return false;
  };
  const tiles: boolean[][] = [];
  for (let top = 0; top < map.heightPx; top += 32) {
    const row: boolean[] = [];
    for (let left = 0; left < map.widthPx; left += 32) {
      let [area, kept, stays] = [0, 0, 0];
      for (let y = top; y < Math.min(top + 32, map.heightPx); y++) {
        for (let x = left; x < Math.min(left + 32, map.widthPx); x++) {
          area++;
          if (!fired(x, y)) kept++;
          for (const sy of at) for (const sx of at) if (!covered(x, y, sx, sy)) stays += 1 / at.length ** 2;
        }
      }
      row.push(kept > 0 && stays <= 0.02 * area && stays <= 0.1 * kept + 1e-9);
    }
    tiles.push(row);
  }
  return tiles;
}

describe('merged tone', () => {
  test('is found where the slow version finds it', () => {
    const plates = fc.tuple(fc.integer(), fc.constantFrom(2, 3, 4, 6), fc.constantFrom(0.7, 0.98, 1.5, 2.6));
    fc.assert(
      fc.property(plates, ([seed, every, radiusPx]) => {
        const map = fromTest(100, 75, (x, y) => {
          const h =
            Math.imul(Math.imul(x + 3, 0x9e3779b1) ^ Math.imul(y + 1, 0x85ebca6b) ^ seed, 0xc2b2ae35) >>> 16;
          return x < 64 ? h % every > 0 : h % 2 === 0 && x < 90;
        });
        const tiles = slowTiles(map, radiusPx);
        const wide = tiles.flatMap((row, y) =>
          row.filter((_, x) =>
            [y - 1, y].some((t) =>
              [x - 1, x].some((l) =>
                [0, 1].every((dy) => [0, 1].every((dx) => tiles[t + dy]?.[l + dx] === true)),
              ),
            ),
          ),
        );
        const found = findMerged(map, 2 * radiusPx);
        expect(found.reduce((sum, { areaPx }) => sum + areaPx, 0)).toBe(wide.length * 1024);
      }),
      { seed: 4, numRuns: 24 },
    );
  });

  test('a checkerboard merges where the spot is twice the pitch and not where it is one pitch', () => {
    // coverage of a checkerboard: 0.9996 at 1.9685 pitches, 0.5 · π/4 at 1 (Pappas & Neuhoff 1991)
    const map = fromTest(128, 96, (x, y) => (x + y) % 2 === 0);
    expect(findMerged(map, 1.9685)).toEqual([
      { left: 0, top: 0, right: 128, bottom: 96, areaPx: 128 * 96, widthPx: 96 },
    ]);
    expect(findMerged(map, 1)).toEqual([]);
  });

  test('solid areas, lost single lines and open tone are no fields', () => {
    expect(
      findMerged(
        fromTest(128, 96, () => true),
        1.97,
      ),
    ).toEqual([]);
    expect(
      findMerged(
        fromTest(128, 96, (x) => x !== 50),
        1.97,
      ),
    ).toEqual([]);
    expect(
      findMerged(
        fromTest(128, 96, (x, y) => x % 6 < 3 && y % 6 < 3),
        1.97,
      ),
    ).toEqual([]);
  });
});
