import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { type Bitmap, createBitmap, setBit } from '../../../src/core/bitmap.ts';
import { openSpot, predictedCoverage } from '../../../src/core/spot/coverage.ts';
import { openNear } from '../../../src/core/spot/near.ts';
import { type Beam, spotRegions } from '../../../src/core/spot/regions.ts';
import { ownUnits, UNITS_PER_PX } from '../../../src/core/spot/units.ts';
import { openWide } from '../../../src/core/spot/wide.ts';
import { draw, slowEtchedPx, tile } from './slow.ts';

const ratios = [1, 1.1284, 1.25, Math.SQRT2, 1.5, 1.7678, 1.9685, 2];

// Union of discs on a square grid, integrated on 400 samples a pixel by a program of its own in another
// language; model: Roetling & Holladay 1979, Pappas & Neuhoff 1991. Spot diameter / pitch as in `ratios`.
const patterns: [string, Bitmap, number[]][] = [
  ['solid', draw('#'), [0.7854, 0.9094, 0.9718, 1, 1, 1, 1, 1]],
  ['checkerboard', draw('#.', '.#'), [0.3927, 0.5, 0.6136, 0.7854, 0.8549, 0.9717, 0.9996, 1]],
  ['lines 1 on 1 off', draw('#.'), [0.3927, 0.4774, 0.5498, 0.6427, 0.69, 0.8341, 0.9401, 0.9566]],
  ['lines 2 on 2 off', draw('##..'), [0.3927, 0.4661, 0.5178, 0.5713, 0.595, 0.6671, 0.72, 0.7283]],
  [
    'checker of 2 × 2',
    draw('##..', '##..', '..##', '..##'),
    [0.3927, 0.4774, 0.5498, 0.6427, 0.6837, 0.785, 0.8449, 0.8533],
  ],
  ['1 px of 2 × 2', draw('#.', '..'), [0.1964, 0.25, 0.3068, 0.3927, 0.4419, 0.6135, 0.7608, 0.7854]],
  ['lines 3 on 1 off', draw('###.'), [0.5891, 0.6934, 0.7608, 0.8213, 0.845, 0.9171, 0.9701, 0.9783]],
];

/** Coverage of a repeated pattern far from the plate's edges: whole repeats in the middle rows and columns. */
function inside(pattern: Bitmap, spotPx: number, beam: Beam = 'pulse'): number {
  const size = 64;
  const grown = (extra: number): number => {
    const map = tile(pattern, size + extra, size);
    return openSpot({ spotPx, beam })(map, 16, 48);
  };
  // the difference of two plates holds `pattern` widths without an edge
  return (grown(pattern.widthPx * 8) - grown(0)) / (pattern.widthPx * 8 * 32);
}

describe('predicted coverage', () => {
  test.each(patterns)('%s is within 0.0005 of the integrated area', (_, pattern, wanted) => {
    ratios.forEach((spotPx, i) => {
      expect(Math.abs(inside(pattern, spotPx) - wanted[i]!), `spot / pitch ${spotPx}`).toBeLessThan(0.0005);
    });
  });

  // geometry: of every second pixel a hole stays between four arcs, a little more than a square of 2 − spot / pitch
  test('a spot of 0.10 mm at 500 dpi burns a one-pixel checkerboard solid but for pinholes', () => {
    const spotPx = 0.1 / (25.4 / 500);
    const square = (2 - spotPx) ** 2;
    const hole = 2 * (1 - inside(draw('#.', '.#'), spotPx));
    expect(hole).toBeGreaterThan(square);
    expect(hole).toBeLessThan(1.02 * square);
  });

  // closed forms: circle geometry
  test.each(ratios.concat(2.5, 2.953, 3.937, 5.906, 8))('one pixel etches π/4 · %s² pixels', (spotPx) => {
    const map = createBitmap(25, 25);
    setBit(map, 12, 12, 1);
    expect(openSpot({ spotPx, beam: 'pulse' })(map, 0, 25)).toBeCloseTo((Math.PI / 4) * spotPx ** 2, 4);
    const sweep = (Math.PI / 4) * spotPx ** 2 + spotPx;
    expect(openSpot({ spotPx, beam: 'sweep' })(map, 0, 25)).toBeCloseTo(sweep, 4);
  });

  test('lines of period 2: (√(r² − ¼) + 2 r² asin(1 / 2r)) / 2', () => {
    for (const spotPx of [1.1284, 1.25, Math.SQRT2, 1.9685]) {
      const r = spotPx / 2;
      const wanted = (Math.sqrt(r * r - 0.25) + 2 * r * r * Math.asin(1 / (2 * r))) / 2;
      expect(inside(draw('#.'), spotPx)).toBeCloseTo(wanted, 5);
    }
  });

  test('a swept spot as wide as the pitch leaves nothing of a solid', () => {
    expect(inside(draw('#'), 1, 'sweep')).toBe(1);
    expect(inside(draw('#'), 1, 'pulse')).toBeCloseTo(Math.PI / 4, 5);
  });
});

const shape = fc.record({
  spotPx: fc.oneof(
    fc.double({ min: 0.5, max: 8, noNaN: true }),
    fc.constantFrom(1, 1.5, 1.9685, 2, 2.953, 3),
  ),
  beam: fc.constantFrom<Beam>('pulse', 'sweep'),
});
const plate = fc
  .record({
    widthPx: fc.integer({ min: 1, max: 70 }),
    heightPx: fc.integer({ min: 1, max: 6 }),
    share: fc.constantFrom(0.03, 0.3, 0.8, 0.99),
    seed: fc.integer({ min: 1, max: 2 ** 31 - 1 }),
  })
  .map(({ widthPx, heightPx, share, seed }) => {
    const map = createBitmap(widthPx, heightPx);
    let state = seed;
    for (let y = 0; y < heightPx; y++) {
      for (let x = 0; x < widthPx; x++) {
        state = (Math.imul(state, 48271) >>> 0) % 2147483647;
        setBit(map, x, y, state / 2147483647 < share ? 1 : 0);
      }
    }
    return map;
  });

describe('laws of the etched area', () => {
  test('equals the slow union of chords', () => {
    fc.assert(
      fc.property(plate, shape, (map, spot) => {
        const slow = slowEtchedPx(map, spot, 128);
        // a swept mark has a flat top that may lie anywhere between two of the slow lines
        const tolerance = spot.beam === 'sweep' ? 1 / 128 : 3e-4;
        expect(Math.abs(openSpot(spot)(map, 0, map.heightPx) - slow)).toBeLessThan(
          tolerance * map.widthPx * map.heightPx,
        );
      }),
      { seed: 3, numRuns: 60 },
    );
  });

  test('bands add up to exactly the plate', () => {
    fc.assert(
      fc.property(plate, shape, fc.integer({ min: 1, max: 4 }), (map, spot, band) => {
        const area = openSpot(spot);
        let sum = 0;
        for (let y = 0; y < map.heightPx; y += band) sum += area(map, y, Math.min(map.heightPx, y + band));
        expect(sum).toBe(area(map, 0, map.heightPx));
      }),
      { seed: 4, numRuns: 60 },
    );
  });

  test('table and neighbour lists give the same units where both serve', () => {
    fc.assert(
      fc.property(plate, fc.double({ min: 0.5, max: 3, noNaN: true }), (map, spotPx) => {
        const spot = { spotPx, beam: 'pulse' } as const;
        const regions = spotRegions(spot);
        const near = openNear(regions)(map, 0, map.heightPx);
        expect(openWide(spot, regions)(map, 0, map.heightPx)).toBe(near);
      }),
      { seed: 5, numRuns: 60 },
    );
  });

  test('a plate without marks etches nothing, a solid one everything', () => {
    for (const spotPx of [1.5, 2.4, 4, 8]) {
      const map = createBitmap(45, 9);
      expect(predictedCoverage(map, { spotPx, beam: 'pulse' })).toBe(0);
      for (let y = 0; y < 9; y++) for (let x = 0; x < 45; x++) setBit(map, x, y, 1);
      expect(predictedCoverage(map, { spotPx, beam: 'pulse' })).toBe(1);
    }
  });

  test('a spot that is none is refused with what to do', () => {
    for (const spotPx of [0, -1, Number.NaN, 17]) {
      expect(() => openSpot({ spotPx, beam: 'pulse' })).toThrow(/spot is .* pixels wide/);
    }
    // rounded up, so that none beyond the limit reads as if it were within
    expect(() => openSpot({ spotPx: 500 / 25.4, beam: 'pulse' })).toThrow(/spot is 19\.69 pixels wide/);
    expect(() => openSpot({ spotPx: 16.0001, beam: 'pulse' })).toThrow(/spot is 16\.01 pixels wide/);
  });
});

// Pappas & Neuhoff 1991 (from memory; verified by integrating areas on 2000² samples): bite of a side neighbour,
// of a corner neighbour, and what two adjacent side bites share; ρ = spot / pitch / √2
test.each([
  [1, 0.142699, 0, 0],
  [1.25, 0.334172, 0.02942, 0.098315],
  [Math.SQRT2, 0.456611, 0.078787, 0.206611],
])('bites at ρ = %s', (rho, alpha, beta, gamma) => {
  const area = (...rows: string[]): number => {
    const spotPx = rho * Math.SQRT2;
    const regions = spotRegions({ spotPx, beam: 'pulse' });
    const map = draw(...rows);
    return regions
      .filter(({ by }) => by.some(({ dx, dy }) => map.data[1 + dy]! & (0x40 >> dx)))
      .reduce((sum, { areaPx }) => sum + areaPx, 0);
  };
  expect(area('...', '..#', '...')).toBeCloseTo(alpha, 5);
  expect(area('..#', '...', '...')).toBeCloseTo(beta, 5);
  expect(2 * alpha - area('.#.', '..#', '...')).toBeCloseTo(gamma, 5);
  expect(UNITS_PER_PX).toBe(2 ** 24);
});

test('marks that stay within their pixels are counted, to the same number as pixel by pixel', () => {
  const rows = Array.from({ length: 7 }, (_, y) =>
    Array.from({ length: 101 }, (_, x) => ((x * x + 3 * y * x) % 7 < 3 ? '#' : '.')).join(''),
  );
  const plate = draw(...rows);
  for (const spotPx of [0.3, 0.7, 1]) {
    const shape = { spotPx, beam: 'pulse' } as const;
    expect(ownUnits(shape)).not.toBeNull();
    for (const [from, to] of [
      [0, 7],
      [2, 5],
    ] as const)
      expect(openSpot(shape)(plate, from, to)).toBe(
        openNear(spotRegions(shape))(plate, from, to) / UNITS_PER_PX,
      );
  }
  // a wider one reaches its neighbours, and so does one that moves while it fires
  expect(ownUnits({ spotPx: 1.01, beam: 'pulse' })).toBeNull();
  expect(ownUnits({ spotPx: 0.3, beam: 'sweep' })).toBeNull();
});
