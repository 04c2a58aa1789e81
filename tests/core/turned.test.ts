import * as fc from 'fast-check';
import { expect, test } from 'vitest';
import { type Bitmap, createBitmap, cutRow, getBit, setBit } from '../../src/core/bitmap.ts';
import { turned } from '../../src/core/turned.ts';

const bitmaps = fc
  .tuple(fc.integer({ min: 1, max: 40 }), fc.integer({ min: 1, max: 40 }), fc.infiniteStream(fc.boolean()))
  .map(([widthPx, heightPx, bits]) => {
    const map = createBitmap(widthPx, heightPx);
    for (let y = 0; y < heightPx; y++)
      for (let x = 0; x < widthPx; x++) setBit(map, x, y, bits.next().value ? 1 : 0);
    return map;
  });

/** The obvious way, pixel by pixel. */
function slowTurned(map: Bitmap): Bitmap {
  const out = createBitmap(map.heightPx, map.widthPx);
  for (let y = 0; y < map.heightPx; y++)
    for (let x = 0; x < map.widthPx; x++) setBit(out, map.heightPx - 1 - y, x, getBit(map, x, y));
  return out;
}

test('a letter L turned clockwise lies on its back', () => {
  const map = createBitmap(2, 3);
  for (const [x, y] of [
    [0, 0],
    [0, 1],
    [0, 2],
    [1, 2],
  ] as const)
    setBit(map, x, y, 1);
  const rows = (bits: Bitmap) =>
    Array.from({ length: bits.heightPx }, (_, y) =>
      Array.from({ length: bits.widthPx }, (_, x) => getBit(bits, x, y)).join(''),
    );
  expect(rows(turned(map, 'clockwise'))).toEqual(['111', '100']);
  expect(rows(turned(map, 'anticlockwise'))).toEqual(['001', '111']);
});

test('turning agrees with turning pixel by pixel, and back again is as before, padding and all', () => {
  void fc.assert(
    fc.property(bitmaps, (map) => {
      const clockwise = turned(map, 'clockwise');
      expect(clockwise).toEqual(slowTurned(map));
      expect(turned(clockwise, 'anticlockwise')).toEqual(map);
    }),
    { seed: 1, numRuns: 200 },
  );
});

test('a row cut out of another holds its pixels and nothing else', () => {
  void fc.assert(
    fc.property(bitmaps, fc.nat(), fc.nat(), (map, a, b) => {
      const from = a % map.widthPx;
      const widthPx = 1 + (b % (map.widthPx - from));
      const out = createBitmap(widthPx, map.heightPx);
      out.data.fill(0xff);
      const wanted = createBitmap(widthPx, map.heightPx);
      for (let y = 0; y < map.heightPx; y++) {
        cutRow(map.data, y * map.strideBytes, from, widthPx, out.data, y * out.strideBytes);
        for (let x = 0; x < widthPx; x++) setBit(wanted, x, y, getBit(map, from + x, y));
      }
      expect(out).toEqual(wanted);
    }),
    { seed: 2, numRuns: 200 },
  );
});
