import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { type Bitmap, countBits, createBitmap, fillRow, getBit, setBit } from '../../../src/core/bitmap.ts';
import { registerTolerance } from '../../../src/core/register/tolerance.ts';

const WAYS = [
  [1, 0],
  [1, 1],
  [0, 1],
  [-1, 1],
  [-1, 0],
  [-1, -1],
  [0, -1],
  [1, -1],
] as const;

const ink = (map: Bitmap, x: number, y: number): boolean =>
  x >= 0 && y >= 0 && x < map.widthPx && y < map.heightPx && getBit(map, x, y) === 1;

/** By the definition, pixel by pixel: each plate moved for itself, the print composed anew and looked at. */
function slowly(
  plates: readonly Bitmap[],
  steps: number,
  [dx, dy]: readonly [number, number],
  moved: number,
) {
  const plate = plates[moved]!;
  const slivers: string[] = [];
  let overlaps = 0;
  for (let y = 0; y < plate.heightPx; y++)
    for (let x = 0; x < plate.widthPx; x++) {
      const others = plates.some((other, i) => i !== moved && ink(other, x, y));
      const now = ink(plate, x - steps * dx, y - steps * dy);
      if (now && others && !ink(plate, x, y)) overlaps++;
      if (!ink(plate, x, y) || others || now) continue;
      /** What lies behind the plate's edge, so many steps away at most. */
      const behind = (stepX: number, stepY: number): 'ink' | 'paper' | 'plate' => {
        for (let back = 1; back <= steps; back++) {
          const [atX, atY] = [x - back * stepX, y - back * stepY];
          if (!ink(plate, atX, atY)) return plates.some((other) => ink(other, atX, atY)) ? 'ink' : 'paper';
        }
        return 'plate';
      };
      const parts = dx !== 0 && dy !== 0 ? [behind(dx, 0), behind(0, dy)] : [];
      if (behind(dx, dy) === 'ink' && !parts.includes('paper')) slivers.push(`${x},${y}`);
    }
  return { slivers, overlaps };
}

/** Sizes of what hangs together, corners counting, the largest first. */
function sizesOf(places: ReadonlySet<string>): number[] {
  const left = new Set(places);
  const sizes: number[] = [];
  for (const start of places) {
    if (!left.delete(start)) continue;
    const stack = [start];
    let size = 0;
    for (let at = stack.pop(); at !== undefined; at = stack.pop()) {
      size++;
      const [x, y] = at.split(',').map(Number) as [number, number];
      for (const [dx, dy] of WAYS) {
        const next = `${x + dx},${y + dy}`;
        if (left.delete(next)) stack.push(next);
      }
    }
    sizes.push(size);
  }
  return sizes.sort((a, b) => b - a);
}

const sets = fc
  .record({
    widthPx: fc.integer({ min: 1, max: 70 }),
    heightPx: fc.integer({ min: 1, max: 9 }),
    plates: fc.integer({ min: 1, max: 4 }),
    density: fc.constantFrom(0.1, 0.5, 0.9),
    seed: fc.integer({ min: 1, max: 1e6 }),
  })
  .map(({ widthPx, heightPx, plates, density, seed }) => {
    let state = seed;
    const next = (): number => {
      state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
      return state / 2 ** 32;
    };
    return Array.from({ length: plates }, () => {
      const map = createBitmap(widthPx, heightPx);
      // runs, so that there are areas and not only specks
      let bit: 0 | 1 = 0;
      for (let y = 0; y < heightPx; y++)
        for (let x = 0; x < widthPx; x++) {
          if (next() < 0.4) bit = next() < density ? 1 : 0;
          setBit(map, x, y, bit);
        }
      return map;
    });
  });

test('is what moving each plate and looking at every pixel says', () => {
  fc.assert(
    fc.property(sets, fc.integer({ min: 0, max: 6 }), (plates, asked) => {
      const most = 8;
      const found = registerTolerance(plates, { pxPerMm: 1, askedMm: asked, mostMm: most });
      const map = new Set<string>();
      for (const [i, plate] of found.plates.entries()) {
        let fits = Number.POSITIVE_INFINITY;
        let slivers = 0;
        let overlaps = 0;
        const own = new Set<string>();
        for (const way of WAYS) {
          const step = Math.hypot(...way);
          const here = slowly(plates, Math.round(asked / step), way, i);
          for (const place of here.slivers) own.add(place);
          slivers = Math.max(slivers, here.slivers.length);
          overlaps = Math.max(overlaps, here.overlaps);
          const mostSteps = Math.max(Math.round(asked / step), Math.floor(most / step));
          for (let k = 1; k <= mostSteps; k++)
            if (slowly(plates, k, way, i).slivers.length > 0) {
              fits = Math.min(fits, (k - 1) * step);
              break;
            }
        }
        for (const place of own) map.add(place);
        expect(plate.worst.map(({ areaMm2 }) => areaMm2)).toEqual(sizesOf(own).slice(0, 5));
        expect(plate.fitsMm).toEqual(Number.isFinite(fits) ? expect.closeTo(fits, 9) : null);
        expect(plate.sliverMm2).toBe(slivers);
        expect(plate.overlapMm2).toBe(overlaps);
      }
      const drawn = new Set<string>();
      for (let y = 0; y < found.map.heightPx; y++)
        for (let x = 0; x < found.map.widthPx; x++) if (getBit(found.map, x, y)) drawn.add(`${x},${y}`);
      expect(drawn).toEqual(map);
    }),
    { numRuns: 60, seed: 9 },
  );
});

/** Two plates side by side: the first ends at `left`, the second begins at `right`, both inside a margin of paper. */
function sideBySide(left: number, right: number): Bitmap[] {
  return [
    [10, left],
    [right, 90],
  ].map(([from, to]) => {
    const map = createBitmap(100, 60);
    for (let y = 10; y < 50; y++) fillRow(map.data, y * map.strideBytes, from!, to!, 1);
    return map;
  });
}

describe('two areas side by side', () => {
  const wish = { pxPerMm: 10, askedMm: 0.5, mostMm: 2 };

  test('that only touch bare paper with the first pixel', () => {
    const found = registerTolerance(sideBySide(50, 50), wish);
    expect(found.fitsMm).toBe(0);
    // a strip of 5 × 40 pixels of 0.1 mm
    expect(found.plates.map(({ sliverMm2 }) => sliverMm2)).toEqual([expect.closeTo(2), expect.closeTo(2)]);
    expect(found.plates.map(({ sliverWay }) => sliverWay)).toEqual(['left', 'right']);
    expect(found.plates[0]!.overlapMm2).toBeCloseTo(2);
    expect(countBits(found.map.data)).toBeGreaterThanOrEqual(2 * 5 * 40);
    // both strips meet, and nothing else is bared
    const { areaMm2, ...box } = found.worst!;
    expect(areaMm2 * 100).toBeCloseTo(countBits(found.map.data), 6);
    expect(box).toEqual({ left: 45, right: 55, top: 10, bottom: 50 });
  });

  test.each([1, 3, 8])('fit as far as their trap is wide: %d pixels', (trap) => {
    const found = registerTolerance(sideBySide(50 + trap, 50), wish);
    expect(found.fitsMm).toBeCloseTo(trap / 10, 9);
  });

  test('that a white line parts bare nothing, however wide or narrow it is', () => {
    for (const gap of [1, 4]) {
      const found = registerTolerance(sideBySide(50, 50 + gap), wish);
      expect(found.fitsMm).toBeNull();
      expect(countBits(found.map.data)).toBe(0);
      expect(found.worst).toBeNull();
    }
  });

  test('under a key over their border fit as far as half the key is wide', () => {
    const key = createBitmap(100, 60);
    for (let y = 8; y < 52; y++) fillRow(key.data, y * key.strideBytes, 46, 54, 1);
    const found = registerTolerance([...sideBySide(50, 50), key], wish);
    expect(found.fitsMm).toBeCloseTo(0.4, 9);
  });
});
