import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { createBitmap, getBit } from '../../../src/core/bitmap.ts';
import { layoutPlate, pxFor } from '../../../src/core/geometry.ts';
import {
  stretchedBits,
  stretchedLayout,
  stretchedMm,
  stretchFromReading,
  stretchToFollow,
} from '../../../src/core/register/stretch.ts';

describe('the size of a plate for a print that shrinks', () => {
  // derived from the ratio itself, for sizes and shares of dampened papers (0.5–2 % on drying, common practice)
  test.each([
    [200, 0.015, 203.0457],
    [300, 0.02, 306.1224],
  ])('%d mm by %d', (wantedMm, share, plateMm) => {
    expect(stretchedMm(wantedMm, share)).toBeCloseTo(plateMm, 4);
    expect(stretchedMm(wantedMm, share) * (1 - share)).toBeCloseTo(wantedMm, 10);
  });

  test('0.3 % of 200 mm is 11.8 pixels at 500 dpi', () => {
    const short = 200 - 200 * (1 - 0.003);
    expect(short).toBeCloseTo(0.6, 10);
    expect(stretchFromReading(short, 200)).toBeCloseTo(0.003, 10);
    expect((short * 500) / 25.4).toBeCloseTo(11.8, 1);
  });

  test('verniers 240 mm apart that read 1.1 mm short say 0.46 %', () => {
    expect((100 * stretchFromReading(1.1, 240)).toFixed(2)).toBe('0.46');
  });

  test('a plate that follows others is as much smaller as their prints are', () => {
    expect(stretchedMm(240, stretchToFollow(1.1 / 240))).toBeCloseTo(238.9, 10);
  });
});

const shares = fc.double({ min: -0.03, max: 0.05, noNaN: true });

test('with the stretch undone, every place of the picture is within a pixel of where it was', () => {
  const cases = fc.record({
    widthMm: fc.double({ min: 12, max: 500, noNaN: true }),
    heightMm: fc.double({ min: 12, max: 500, noNaN: true }),
    borderMm: fc.constantFrom(0, 1.3, 5),
    dpi: fc.constantFrom(250, 333, 500, 1000),
    fit: fc.constantFrom('contain' as const, 'cover' as const, 'fill' as const),
    x: shares,
    y: shares,
  });
  fc.assert(
    fc.property(cases, ({ widthMm, heightMm, borderMm, dpi, fit, x, y }) => {
      const picture = { widthPx: 300, heightPx: 200, ppiX: null, ppiY: null };
      const wish = { widthMm, heightMm, dpi, borderMm, fit };
      const plain = layoutPlate(picture, wish, { widthMm, heightMm });
      const plate = stretchedLayout(plain, { x, y }, dpi);
      expect(plate.widthPx).toBe(pxFor(widthMm / (1 - x), dpi));
      for (const [axis, start, size, share] of [
        ['x', 'xPx', 'widthPx', x],
        ['y', 'yPx', 'heightPx', y],
      ] as const) {
        expect(plate.box[start] + plate.box[size]).toBeLessThanOrEqual(plate[size]);
        expect(plate[axis].outPx).toBe(plate.box[size]);
        for (const source of [0, 0.31, 0.5, 0.9, 1]) {
          const shown = plain[axis].startPx + source * plain[axis].stepPx * plain[axis].outPx;
          const placeOn = ({ box, [axis]: map }: typeof plain): number =>
            box[start] + (shown - map.startPx) / map.stepPx;
          expect(Math.abs(placeOn(plate) * (1 - share) - placeOn(plain))).toBeLessThan(1);
        }
      }
    }),
    { numRuns: 300, seed: 9 },
  );
});

test('stretched areas, unstretched by looking, are the areas again', () => {
  const cases = fc.record({
    bits: fc.array(fc.array(fc.boolean(), { minLength: 23, maxLength: 23 }), { minLength: 1, maxLength: 9 }),
    moreX: fc.integer({ min: 0, max: 20 }),
    moreY: fc.integer({ min: 0, max: 20 }),
  });
  fc.assert(
    fc.property(cases, ({ bits, moreX, moreY }) => {
      const areas = createBitmap(23, bits.length);
      for (const [y, row] of bits.entries())
        for (const [x, bit] of row.entries())
          if (bit) areas.data[y * areas.strideBytes + (x >> 3)]! |= 0x80 >> (x & 7);
      const [width, height] = [23 + moreX, bits.length + moreY];
      const out = stretchedBits(areas, width, height);
      for (const [y, row] of bits.entries())
        for (const [x, bit] of row.entries()) {
          const atX = Math.floor(((x + 0.5) * width) / 23);
          const atY = Math.floor(((y + 0.5) * height) / bits.length);
          expect(getBit(out, atX, atY)).toBe(bit ? 1 : 0);
        }
      expect(stretchedBits(areas, 23, bits.length).data).toEqual(areas.data);
    }),
    { numRuns: 100, seed: 9 },
  );
});
