import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { thinLandShare } from './thin.mjs';

const surface = (...rows: string[]): Uint8Array =>
  Uint8Array.from(rows.join(''), (place) => (place === '#' ? 1 : 0));

describe('thin land', () => {
  test('a wall of two places between marks is thin for three and holds for two', () => {
    const wall = surface('##..##', '##..##', '##..##', '##..##', '######');
    expect(thinLandShare(wall, 6, 2)).toBe(0);
    expect(thinLandShare(wall, 6, 3)).toBe(1);
  });

  test('a tab on a land is thin, the land is not', () => {
    const tab = surface('#######', '##..###', '##....#', '##..###', '#######');
    expect(thinLandShare(tab, 7, 2)).toBeCloseTo(2 / 8, 12);
  });

  test('land goes on beyond the edge', () => {
    expect(thinLandShare(surface('.##', '.##', '.##'), 3, 3)).toBe(0);
    expect(thinLandShare(surface('##.', '##.', '##.'), 3, 3)).toBe(0);
  });

  test('nothing etched, or everything, leaves nothing thin', () => {
    expect(thinLandShare(surface('...', '...'), 3, 2)).toBe(0);
    expect(thinLandShare(surface('###', '###'), 3, 2)).toBe(0);
  });

  test('is what no square of land covers, tried place by place', () => {
    const wide = 9;
    const map = fc.uint8Array({ min: 0, max: 1, minLength: 72, maxLength: 72 });
    const side = fc.integer({ min: 1, max: 3 });
    fc.assert(
      fc.property(map, side, (etched, square) => {
        const high = etched.length / wide;
        const isLand = (x: number, y: number): boolean =>
          x < 0 || y < 0 || x >= wide || y >= high || etched[y * wide + x] === 0;
        const steps = Array.from({ length: square }, (_, i) => i);
        const fits = (x: number, y: number): boolean =>
          steps.every((dy) => steps.every((dx) => isLand(x + dx, y + dy)));
        const holds = (x: number, y: number): boolean =>
          steps.some((dy) => steps.some((dx) => fits(x - dx, y - dy)));
        let land = 0;
        let thin = 0;
        for (let y = 0; y < high; y++)
          for (let x = 0; x < wide; x++) {
            if (!isLand(x, y)) continue;
            land++;
            if (!holds(x, y)) thin++;
          }
        expect(thinLandShare(etched, wide, square)).toBeCloseTo(land === 0 ? 0 : thin / land, 12);
      }),
      { seed: 6, numRuns: 100 },
    );
  });

  test('what lies in the margin is looked at, and not counted', () => {
    // between two etched columns one of land, too thin; in the middle 4 × 4 places half of the land is that
    const etched = Uint8Array.from({ length: 100 }, (_, i) => (i % 10 === 4 || i % 10 === 6 ? 1 : 0));
    expect(thinLandShare(etched, 10, 2)).toBeCloseTo(10 / 80, 12);
    expect(thinLandShare(etched, 10, 2, 3)).toBeCloseTo(4 / 8, 12);
    expect(thinLandShare(etched, 10, 2, 5)).toBe(0);
  });
});
