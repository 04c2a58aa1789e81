import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { layoutPlate, mmFor, type PictureSize, plateSizeMm, pxFor } from '../../src/core/geometry.ts';

const picture = (
  widthPx: number,
  heightPx: number,
  ppiX: number | null = null,
  ppiY = ppiX,
): PictureSize => ({
  widthPx,
  heightPx,
  ppiX,
  ppiY,
});
const wish = { widthMm: null, heightMm: null, dpi: 500, borderMm: 0, fit: 'contain' as const };

describe('millimetres and pixels', () => {
  test('N = round(mm · dpi / 25.4): worked values', () => {
    // 100 mm at 300, 500, 600, 1000 dpi; ISO 216 A4 at 500 dpi (210 × 297 mm), A5 at 500 dpi (148 × 210 mm)
    expect([300, 500, 600, 1000].map((dpi) => pxFor(100, dpi))).toEqual([1181, 1969, 2362, 3937]);
    expect([pxFor(210, 500), pxFor(297, 500)]).toEqual([4134, 5846]);
    expect([pxFor(148, 500), pxFor(210, 500)]).toEqual([2913, 4134]);
    expect([pxFor(210, 1200), pxFor(297, 1200)]).toEqual([9921, 14031]);
    expect(mmFor(1969, 500)).toBeCloseTo(100.0252, 4);
  });

  test('the residue is at most half a pixel on each axis', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 2, max: 900, noNaN: true }),
        fc.double({ min: 2, max: 900, noNaN: true }),
        fc.constantFrom(254, 300, 333.3, 500, 1000, 1270),
        (widthMm, heightMm, dpi) => {
          const plate = layoutPlate(picture(100, 100), { ...wish, dpi }, { widthMm, heightMm });
          expect(Math.abs(plate.residueMm.x)).toBeLessThanOrEqual(12.7 / dpi + 1e-9);
          expect(Math.abs(plate.residueMm.y)).toBeLessThanOrEqual(12.7 / dpi + 1e-9);
        },
      ),
      { seed: 1 },
    );
  });

  test('100 mm at 500 dpi is 25.2 µm over', () => {
    const plate = layoutPlate(picture(100, 100), wish, { widthMm: 100, heightMm: 100 });
    expect(plate.residueMm.x * 1000).toBeCloseTo(25.2, 1);
  });
});

describe('how large the plate is', () => {
  test('one side alone keeps the proportion', () => {
    expect(plateSizeMm(picture(300, 200), { ...wish, widthMm: 120 })).toEqual({ widthMm: 120, heightMm: 80 });
    expect(plateSizeMm(picture(300, 200), { ...wish, heightMm: 80 })).toEqual({ widthMm: 120, heightMm: 80 });
  });

  test('the border lies inside, and the picture keeps its proportion within it', () => {
    expect(plateSizeMm(picture(300, 200), { ...wish, widthMm: 130, borderMm: 5 })).toEqual({
      widthMm: 130,
      heightMm: 90,
    });
  });

  test('without a size the picture’s own absolute size counts, else nothing does', () => {
    expect(plateSizeMm(picture(300, 150, 300), wish)).toEqual({ widthMm: 25.4, heightMm: 12.7 });
    expect(plateSizeMm(picture(300, 150), wish)).toBeNull();
  });

  test('unequal resolutions make oblong pixels, and the plate has the true proportion', () => {
    // a fax page: 204 × 98 pixels per inch (ITU-T T.4 standard resolution, in inches)
    const size = plateSizeMm(picture(204, 98, 204, 98), { ...wish, widthMm: 50 });
    expect(size?.heightMm).toBeCloseTo(50, 9);
  });
});

describe('how the picture lies on the plate', () => {
  const size = { widthMm: 100, heightMm: 100 };

  test('contain shows all of it, centred', () => {
    const { box, x, y } = layoutPlate(picture(200, 100), wish, size);
    expect(box).toEqual({ xPx: 0, yPx: 492, widthPx: 1969, heightPx: 985 });
    expect([x.startPx, y.startPx]).toEqual([0, 0]);
  });

  test('cover fills the plate and says what it crops', () => {
    const { box, x, cropPercent } = layoutPlate(picture(200, 100), { ...wish, fit: 'cover' }, size);
    expect(box).toEqual({ xPx: 0, yPx: 0, widthPx: 1969, heightPx: 1969 });
    expect([x.startPx, x.stepPx * x.outPx]).toEqual([50, 100]);
    expect(cropPercent).toEqual({ left: 25, right: 25, top: 0, bottom: 0 });
  });

  test('fill stretches', () => {
    const { x, y } = layoutPlate(picture(200, 100), { ...wish, fit: 'fill' }, size);
    expect([x.stepPx * 1969, y.stepPx * 1969]).toEqual([200, 100]);
  });

  test('one side given: rounding leaves no seam', () => {
    fc.assert(
      fc.property(fc.integer({ min: 10, max: 5000 }), fc.integer({ min: 10, max: 5000 }), (w, h) => {
        const asked = { ...wish, widthMm: 120 };
        const plate = layoutPlate(picture(w, h), asked, plateSizeMm(picture(w, h), asked)!);
        expect(plate.box).toEqual({ xPx: 0, yPx: 0, widthPx: plate.widthPx, heightPx: plate.heightPx });
      }),
      { seed: 1 },
    );
  });

  test('source pixels per inch of plate', () => {
    expect(layoutPlate(picture(600, 600), wish, { widthMm: 240, heightMm: 240 }).sourcePpi).toBeCloseTo(
      63.5,
      1,
    );
  });

  test('a border that leaves nothing is refused', () => {
    expect(() => layoutPlate(picture(10, 10), { ...wish, borderMm: 50.1 }, size)).toThrow(RangeError);
  });
});
