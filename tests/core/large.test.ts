/** Plates whose pixels are more than 31 or 32 bits count: most of their memory is never touched. */
import { describe, expect, test } from 'vitest';
import { type Bitmap, countBits, createBitmap, getBit, setBit } from '../../src/core/bitmap.ts';
import { findPieces } from '../../src/core/hold/components.ts';
import { createDistance } from '../../src/core/hold/nearest.ts';
import { shrunkGrey } from '../../src/core/proof/shrink.ts';
import { openSpot } from '../../src/core/spot/coverage.ts';

test('a piece of more than 2^31 pixels has its area, and a second one below it its own', () => {
  const words = new Int32Array(2 ** 15).fill(-1);
  const blank = new Int32Array(2 ** 15);
  const [widthPx, highPx] = [2 ** 20, 2 ** 12 + 3];
  const areas: object[] = [];
  const finder = findPieces(widthPx, 8, ({ areaPx, rowRuns, columnRuns, bottom }) =>
    areas.push({ areaPx, rowRuns, columnRuns, bottom }),
  );
  for (let y = 0; y < highPx; y++) finder.row(words, 0, y);
  finder.row(blank, 0, highPx);
  finder.row(words, 0, highPx + 1);
  finder.end();
  expect(areas).toEqual([
    { areaPx: 2 ** 32 + 3 * 2 ** 20, rowRuns: highPx, columnRuns: widthPx, bottom: highPx },
    { areaPx: widthPx, rowRuns: 1, columnRuns: widthPx, bottom: highPx + 2 },
  ]);
});

// 300² pixels of full light are more than 32 bits hold in steps of 1/65535
test('white stays white when reduced by more than 256 pixels a side', () => {
  const read = (_: number, codes: Uint8Array | Uint16Array): void => void codes.fill(255);
  const { greys } = shrunkGrey(read, { widthPx: 600, heightPx: 300 }, 1, 300);
  expect([...greys]).toEqual([255, 255]);
});

describe('2,000 × 1,000 mm at 1,270 dpi', () => {
  // 5,000 million pixels, 2^32 of them end in row 42,949
  const [widthPx, heightPx] = [100_000, 50_000];
  const map: Bitmap = createBitmap(widthPx, heightPx);
  const [x, y] = [widthPx - 103, heightPx - 102];
  setBit(map, x, y, 1);

  test('a pixel in the last rows is that one alone', () => {
    expect([getBit(map, x, y), getBit(map, x - 1, y), getBit(map, x, y - 1)]).toEqual([1, 0, 0]);
    expect(countBits(map.data, (heightPx - 104) * map.strideBytes)).toBe(1);
    // where it would be if its number lost what is above 32 bits
    const wrapped = (y * widthPx + x) % 2 ** 32;
    expect(getBit(map, wrapped % widthPx, Math.floor(wrapped / widthPx))).toBe(0);
  });

  test('it is found where it is', () => {
    expect(createDistance(map, 'kept')(x - 30, y - 40)).toBe(50);
  });

  test('the beam etches its mark there', () => {
    const area = openSpot({ spotPx: 2, beam: 'pulse' });
    // a circle of 2 pixels: π
    expect(area(map, y - 3, y + 3)).toBeCloseTo(Math.PI, 2);
    expect(area(map, y - 13, y - 3)).toBe(0);
  });
});
