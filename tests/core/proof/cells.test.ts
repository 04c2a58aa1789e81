import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { type Bitmap, createBitmap, fillRow, setBit } from '../../../src/core/bitmap.ts';
import { openBeamBits } from '../../../src/core/proof/beam-bits.ts';
import type { CellSide } from '../../../src/core/proof/cell-sums.ts';
import { openCells } from '../../../src/core/proof/cells.ts';
import { openInk } from '../../../src/core/proof/ink.ts';
import { nearSums } from '../../../src/core/proof/near-cells.ts';
import { NO_STRETCH } from '../../../src/core/register/stretch.ts';
import type { SpotShape } from '../../../src/core/spot/regions.ts';
import { openEtchedRow } from '../../../src/core/spot/rows.ts';
import { draw, tile } from '../spot/slow.ts';

const SIDES: readonly CellSide[] = [2, 4];

/** Bits at random, ever denser to the right (Numerical Recipes, 2nd ed. 1992, section 7.1). */
function grains(widthPx: number, heightPx: number): Bitmap {
  const map = createBitmap(widthPx, heightPx);
  let state = 1;
  for (let y = 0; y < heightPx; y++)
    for (let x = 0; x < widthPx; x++) {
      state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
      if (state / 2 ** 32 < (0.3 * x) / widthPx) map.data[y * map.strideBytes + (x >> 3)]! |= 0x80 >> (x & 7);
    }
  return map;
}

/** Etched shares of all pixels, the exact way. */
function exactly(map: Bitmap, shape: SpotShape | null): Float32Array[] {
  const etched = openEtchedRow(shape);
  return Array.from({ length: map.heightPx }, (_, y) => {
    const row = new Float32Array(map.widthPx);
    etched(map, y, row);
    return row;
  });
}

function cellRows(map: Bitmap, shape: SpotShape | null, side: CellSide): Float32Array[] {
  const { widthPx, heightPx, rows } = openCells(map, shape, side);
  return Array.from({ length: heightPx }, (_, y) => {
    const row = new Float32Array(widthPx);
    rows(y, row);
    return row;
  });
}

/** Mean of the pixels of a cell that are there. */
function slowCell(pixels: Float32Array[], side: number, x: number, y: number): number {
  const inside = pixels
    .slice(y * side, (y + 1) * side)
    .flatMap((row) => [...row.subarray(x * side, (x + 1) * side)]);
  return inside.reduce((sum, share) => sum + share, 0) / inside.length;
}

const mean = (rows: readonly Float32Array[]): number =>
  rows.reduce((sum, row) => sum + row.reduce((a, b) => a + b, 0), 0) / (rows.length * rows[0]!.length);

describe.each(SIDES)('cells of %s pixels a side', (side) => {
  // sizes that end within a word, within a cell and on a cell
  const sizes = [
    [64, 16],
    [101, 23],
    [34, 33],
    [3, 1],
  ] as const;
  const exact: (SpotShape | null)[] = [null, { spotPx: 1, beam: 'pulse' }, { spotPx: 1.5, beam: 'sweep' }];

  test.each(exact)('are means of the exact shares: %j', (shape) => {
    for (const [widthPx, heightPx] of sizes) {
      const map = grains(widthPx, heightPx);
      const pixels = exactly(map, shape);
      for (const [y, row] of cellRows(map, shape, side).entries())
        for (const [x, share] of row.entries()) expect(share).toBeCloseTo(slowCell(pixels, side, x, y), 5);
    }
  });

  // runs of a word and more, so that some words are blank, some solid and most mixed
  const plates = fc
    .record({ widthPx: fc.integer({ min: 1, max: 140 }), heightPx: fc.integer({ min: 1, max: 9 }) })
    .chain(({ widthPx, heightPx }) => {
      const px = widthPx * heightPx;
      const runs = fc.array(fc.integer({ min: 1, max: 200 }), { minLength: 1, maxLength: 12 });
      return fc
        .record({ runs, flips: fc.array(fc.nat(px - 1), { maxLength: 40 }) })
        .map(({ runs, flips }) => {
          const map = createBitmap(widthPx, heightPx);
          const ends = runs.map((_, i) => runs.slice(0, i + 1).reduce((sum, run) => sum + run, 0));
          for (let i = 0; i < px; i++) {
            const on = ends.findIndex((end) => i < end) & 1;
            setBit(map, i % widthPx, Math.floor(i / widthPx), flips.includes(i) !== (on === 1) ? 1 : 0);
          }
          return map;
        });
    });

  test.each<SpotShape>([
    { spotPx: 0.7, beam: 'pulse' },
    { spotPx: 1.9685, beam: 'pulse' },
    { spotPx: 3, beam: 'pulse' },
    { spotPx: 1.25, beam: 'sweep' },
  ])('are sums of what is etched of each pixel, to the rounding: %j', (shape) => {
    fc.assert(
      fc.property(plates, (map) => {
        const pixels = exactly(map, shape);
        for (const [y, row] of cellRows(map, shape, side).entries())
          for (const [x, share] of row.entries())
            expect(Math.abs(share - slowCell(pixels, side, x, y))).toBeLessThan(2e-7);
      }),
      { seed: 11, numRuns: 60 },
    );
  });

  const wide: SpotShape[] = [
    { spotPx: 3.2, beam: 'pulse' },
    { spotPx: 3.937, beam: 'pulse' },
    { spotPx: 3.937, beam: 'sweep' },
    { spotPx: 7.9, beam: 'pulse' },
  ];

  test.each(wide)('of a wide beam come near the exact shares: %j', (shape) => {
    const map = grains(256, 120);
    const pixels = exactly(map, shape);
    const cells = cellRows(map, shape, side);
    let squares = 0;
    for (const [y, row] of cells.entries())
      for (const [x, share] of row.entries()) squares += (share - slowCell(pixels, side, x, y)) ** 2;
    expect(Math.sqrt(squares / (cells.length * cells[0]!.length))).toBeLessThan(side === 2 ? 0.06 : 0.03);
    expect(Math.abs(mean(cells) - mean(pixels))).toBeLessThan(0.005);
  });

  test.each(wide)('count just the bits of all places: %j', (shape) => {
    const map = grains(101, 23);
    const rowsOf = openBeamBits(map, shape);
    for (const [cellY, row] of cellRows(map, shape, side).entries())
      for (const [cellX, share] of row.entries()) {
        let set = 0;
        let looked = 0;
        for (let y = cellY * side; y < Math.min(23, (cellY + 1) * side); y++)
          for (const words of rowsOf(y)) {
            for (let x = cellX * side; x < Math.min(101, (cellX + 1) * side); x++, looked++)
              set += (words[1 + (x >> 5)]! >>> (31 - (x & 31))) & 1;
          }
        expect(share).toBeCloseTo(set / looked, 6);
      }
  });

  // a pulse etches a disc, and every mark that stands alone just that
  test.each([3.2, 3.937, 5.5])('marks of %s pixels that stand alone have the area of a disc', (spotPx) => {
    const map = tile(draw('#.......', ...Array<string>(7).fill('........')), 256, 256);
    const shares = cellRows(map, { spotPx, beam: 'pulse' }, side).slice(16 / side, -16 / side);
    const inner = shares.map((row) => row.subarray(16 / side, row.length - 16 / side));
    expect(Math.abs(mean(inner) - (Math.PI * spotPx ** 2) / 4 / 64)).toBeLessThan(0.002);
  });
});

test('are the same to the bit where marks that stay within their pixels are counted', () => {
  for (const [widthPx, heightPx] of [
    [1, 1],
    [101, 23],
    [128, 8],
    [523, 34],
    [526, 33],
  ] as const)
    for (const spotPx of [0.4, 1]) {
      const map = grains(widthPx, heightPx);
      fillRow(map.data, 2 * map.strideBytes, 0, widthPx, 1);
      const shape = { spotPx, beam: 'pulse' } as const;
      const cells = cellRows(map, shape, 4);
      const looked = nearSums(map, shape, 4);
      for (const [y, row] of cells.entries()) {
        const plain = new Float32Array(row.length);
        const count = Math.min(4, heightPx - 4 * y);
        looked(4 * y, 4 * y + count, 1 / (4 * count), plain);
        // what the last cell lacks in width is the caller's
        expect(row.subarray(0, -1)).toEqual(plain.subarray(0, -1));
      }
    }
});

describe('a proof by way of cells', () => {
  const PITCH = 0.0254;
  const base = {
    mirrored: false,
    pitchMm: PITCH,
    stretch: NO_STRETCH,
    squashMm: 0,
    plateTone: 0,
    prints: 'etched',
  } as const;
  const inkRows = (plate: Parameters<typeof openInk>[0], ppi: number): Float32Array[] => {
    const { widthPx, heightPx, rows } = openInk(plate, ppi);
    return Array.from({ length: heightPx }, (_, y) => {
      const row = new Float32Array(widthPx);
      rows(y, row);
      return row;
    });
  };

  test('ends where the plate ends, mirrored or not', () => {
    // 203 × 101 pixels: the last cell of a row has three, the last of a column one
    const map = createBitmap(203, 101);
    for (let y = 0; y < 101; y++) fillRow(map.data, y * map.strideBytes, 0, 203, 1);
    for (const mirrored of [false, true])
      for (const row of inkRows({ ...base, map, mirrored, spot: null, poolMm: null }, 200))
        for (const share of row) expect(share).toBeCloseTo(1, 5);
  });

  test('a wall as thin as a pixel holds ink in open bite, wherever it lies', () => {
    for (let at = 200; at < 208; at++) {
      const map = createBitmap(400, 200);
      for (let y = 0; y < 200; y++) {
        fillRow(map.data, y * map.strideBytes, 0, 400, 1);
        fillRow(map.data, y * map.strideBytes, at, at + 1, 0);
      }
      const row = inkRows({ ...base, map, spot: null, poolMm: 0.8 }, 200)[20]!;
      const px = at / 5;
      expect(row[Math.floor(px) - 2]).toBeGreaterThan(0.95);
      expect(row[Math.ceil(px) + 2]).toBeGreaterThan(0.95);
      expect(row[20]).toBeLessThan(0.5);
    }
  });

  test('rows asked for in any order are the same', () => {
    const map = grains(1200, 900);
    for (let y = 300; y < 700; y++) fillRow(map.data, y * map.strideBytes, 200, 900, 1);
    const plate = { ...base, map, spot: { spotMm: 0.1, beam: 'pulse' as const }, poolMm: 0.8 };
    const whole = inkRows(plate, 200);
    const { rows, widthPx } = openInk(plate, 200);
    for (const y of [170, 3, 4, 90, 91, 60, 179, 0]) {
      const row = new Float32Array(widthPx);
      rows(y, row);
      expect(row).toEqual(whole[y]);
    }
  });
});
