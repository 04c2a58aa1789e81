import { describe, expect, test } from 'vitest';
import { sensibleDpi } from '../../../src/core/spot/dpi.ts';
import { solidShare, spotPxForSolid } from '../../../src/core/spot/solid.ts';

/** Discs on a square grid of 1: their area, less the lens that each of the two pairs of neighbours shares (circle geometry). */
function discs(spotPx: number): number {
  const r = spotPx / 2;
  const lens = r > 0.5 ? 2 * r * r * Math.acos(0.5 / r) - 0.5 * Math.sqrt(4 * r * r - 1) : 0;
  return Math.PI * r * r - 2 * lens;
}

describe('what a solid etches', () => {
  test.each([0.3, 0.8, 0.984, 1, 1.05, 1.2, 1.35, 1.41])('pulses of %f pixels: discs on a grid', (spotPx) => {
    expect(solidShare({ spotPx, beam: 'pulse' })).toBeCloseTo(discs(spotPx), 4);
  });

  test.each([0.2, 0.7, 0.95])('a sweep of %f pixels: stripes', (spotPx) => {
    // stadiums one pixel apart leave no gaps along the row
    const ends = solidShare({ spotPx, beam: 'sweep' });
    expect(ends).toBeCloseTo(spotPx, 4);
  });

  test.each([
    ['pulse', Math.SQRT2],
    ['pulse', 2],
    ['sweep', 1],
    ['sweep', 2.95],
  ] as const)('a %s of %f pixels leaves nothing', (beam, spotPx) => {
    expect(solidShare({ spotPx, beam })).toBeCloseTo(1, 4);
  });

  test('0.05 mm at 500 dpi etches 76 %', () => {
    // π/4 · (0.05 · 500 / 25.4)²
    expect(solidShare({ spotPx: (0.05 * 500) / 25.4, beam: 'pulse' })).toBeCloseTo(0.7609, 3);
  });

  test.each([0.3, 0.785, 0.8, 0.95, 0.99])(
    'the spot for a share of %f etches it, and no narrower one',
    (share) => {
      expect(discs(spotPxForSolid(share, 'pulse'))).toBeCloseTo(share, 4);
      expect(spotPxForSolid(share, 'sweep')).toBeCloseTo(share, 3);
    },
  );

  test('all but all of a solid wants hardly less than the dpi told for one without ridges', () => {
    const wants = (spotPxForSolid(0.9999, 'pulse') * 25.4) / 0.05;
    expect(wants).toBeGreaterThan(0.98 * sensibleDpi(0.05, 'pulse').solidFromDpi);
    expect(wants).toBeLessThan(sensibleDpi(0.05, 'pulse').solidFromDpi);
  });
});
