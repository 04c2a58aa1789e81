import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { type Bitmap, createBitmap, getBit, setBit } from '../../../src/core/bitmap.ts';
import { compensateLine, planCompensation } from '../../../src/core/spot/compensate.ts';
import { openSpot } from '../../../src/core/spot/coverage.ts';
import { draw, rowsOf } from './slow.ts';

const spotOf = (spotPx: number, beam: 'pulse' | 'sweep' = 'pulse') => ({
  spotMm: spotPx / 10,
  pitchMm: 0.1,
  beam,
});

function narrowed(spotPx: number, ...rows: string[]): string[] {
  const map = draw(...rows);
  compensateLine(map, spotOf(spotPx));
  return rowsOf(map);
}

/** One step as it is defined, pixel by pixel. */
function slowStep(map: Bitmap, alongX: boolean, alongY: boolean, side: 1 | -1): Bitmap {
  const inside = (x: number, y: number): boolean => x >= 0 && y >= 0 && x < map.widthPx && y < map.heightPx;
  const fired = (x: number, y: number, outside: boolean): boolean =>
    inside(x, y) ? getBit(map, x, y) === 1 : outside;
  const block = (x: number, y: number, way: 1 | -1, outside: boolean): boolean => {
    for (let j = 0; j <= Number(alongY); j++) {
      for (let i = 0; i <= Number(alongX); i++) if (!fired(x + way * i, y + way * j, outside)) return false;
    }
    return true;
  };
  const out = createBitmap(map.widthPx, map.heightPx);
  for (let y = 0; y < map.heightPx; y++) {
    for (let x = 0; x < map.widthPx; x++) {
      let held = false;
      for (let j = 0; j <= Number(alongY); j++) {
        for (let i = 0; i <= Number(alongX); i++) held ||= block(x - i, y - j, 1, false);
      }
      const thin = getBit(map, x, y) === 1 && !held;
      setBit(out, x, y, thin || block(x, y, side, true) ? 1 : 0);
    }
  }
  return out;
}

const tiny = fc.integer({ min: 1, max: 69 }).chain((widthPx) =>
  fc.integer({ min: 1, max: 6 }).chain((heightPx) =>
    fc
      .array(fc.integer({ min: 0, max: 9 }), { minLength: widthPx * heightPx, maxLength: widthPx * heightPx })
      .map((dots) => {
        const map = createBitmap(widthPx, heightPx);
        dots.forEach((dot, i) => {
          setBit(map, i % widthPx, Math.floor(i / widthPx), dot > 2 ? 1 : 0);
        });
        return map;
      }),
  ),
);

describe('line art is narrowed by what the spot adds', () => {
  test('a block of 3 × 2 loses its right column and lower row at spot = 2 pixels', () => {
    expect(narrowed(2, '.....', '.###.', '.###.', '.....')).toEqual(['.....', '.##..', '.....', '.....']);
  });

  test('at spot = 3 pixels it loses a ring: nothing moves', () => {
    expect(narrowed(3, '.....', '.###.', '.###.', '.###.', '.....')).toEqual([
      '.....',
      '.....',
      '..#..',
      '.....',
      '.....',
    ]);
  });

  test('lines of one pixel and single dots stay', () => {
    const thin = ['#....#', '.#....', '..#.##', '......', '######'];
    expect(narrowed(2, ...thin)).toEqual(thin);
    expect(narrowed(3.9, ...thin)).toEqual(thin);
  });

  test('a mark that runs over the edge goes on to the edge', () => {
    expect(narrowed(2, '##..', '##..')).toEqual(['#...', '#...']);
    expect(narrowed(2, '..##', '..##')).toEqual(['..##', '..##']);
    expect(narrowed(3, '####', '####')).toEqual(['####', '####']);
  });

  test('a spot up to half a pixel over the pitch changes nothing', () => {
    const rows = ['.###.', '.###.'];
    expect(narrowed(1.49, ...rows)).toEqual(rows);
    expect(narrowed(0.4, ...rows)).toEqual(rows);
  });

  test('equals the definition, pixel by pixel', () => {
    fc.assert(
      fc.property(
        tiny,
        fc.constantFrom(1, 2, 3, 3.9, 5),
        fc.constantFrom('pulse', 'sweep'),
        (map, spotPx, beam) => {
          const { narrowedPx } = planCompensation(spotOf(spotPx, beam));
          let slow = map;
          for (let step = 0; step < Math.max(narrowedPx.x, narrowedPx.y); step++) {
            slow = slowStep(slow, step < narrowedPx.x, step < narrowedPx.y, step % 2 ? -1 : 1);
          }
          const fast = { ...map, data: map.data.slice() };
          compensateLine(fast, spotOf(spotPx, beam));
          expect(rowsOf(fast)).toEqual(rowsOf(slow));
          expect(fast.data).toEqual(slow.data);
        },
      ),
      { seed: 6, numRuns: 150 },
    );
  });
});

// geometry: discs of diameter D round off the corners of what they draw by (1 − π / 4) D² in all
test.each([2, 3, 4])('a block narrowed for a spot of %s pixels etches to its drawn size', (spotPx) => {
  const map = createBitmap(40, 40);
  for (let y = 10; y < 25; y++) for (let x = 8; x < 30; x++) setBit(map, x, y, 1);
  compensateLine(map, spotOf(spotPx));
  const etched = openSpot({ spotPx, beam: 'pulse' })(map, 0, 40);
  const corners = (1 - Math.PI / 4) * spotPx ** 2;
  // between neighbouring discs the straight sides are scalloped by a hair as well
  const scallops = 2 * (22 + 15) * (spotPx / 2 - Math.sqrt(spotPx ** 2 / 4 - 0.25));
  expect(etched).toBeLessThan(22 * 15 - corners);
  expect(etched).toBeGreaterThan(22 * 15 - corners - scallops);
});

// k = round((spot − pitch) / pitch): arithmetic. 0.10 mm at 500 dpi leaves 0.1 − 2 · 0.0508 mm
test('says what is left and how far the marks moved', () => {
  const plan = planCompensation({ spotMm: 0.1, pitchMm: 0.0508, beam: 'pulse' });
  expect(plan.narrowedPx).toEqual({ x: 1, y: 1 });
  expect(plan.leftoverMm.x).toBeCloseTo(-0.0016, 10);
  expect(plan.shiftPx).toEqual({ x: -0.5, y: -0.5 });

  const swept = planCompensation({ spotMm: 0.1, pitchMm: 0.0508, beam: 'sweep' });
  expect(swept.narrowedPx).toEqual({ x: 2, y: 1 });
  expect(swept.shiftPx).toEqual({ x: 0, y: -0.5 });

  const fine = planCompensation({ spotMm: 0.05, pitchMm: 0.1, beam: 'pulse' });
  expect(fine.narrowedPx).toEqual({ x: 0, y: 0 });
  expect(fine.leftoverMm.y).toBeCloseTo(-0.05, 10);
});
