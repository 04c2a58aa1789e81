import { describe, expect, test } from 'vitest';
import { monotoneCurve } from '../../../src/core/curve.ts';
import { bayer } from '../../../src/core/screens/bayer.ts';
import type { ScreenDef, ScreenPlace } from '../../../src/core/screens/contract.ts';
import { errordiffusion } from '../../../src/core/screens/errordiffusion.ts';
import { predictedKnots, spotCurve, toneTableFor } from '../../../src/core/screens/spot-curve.ts';
import { predictedCoverage } from '../../../src/core/spot/coverage.ts';
import { flat, placeOf, screened, settled } from './drive.ts';

const at = (spotPx: number, given: Partial<ScreenPlace> = {}): ScreenPlace =>
  placeOf({ spotPx, allowsForSpot: true, ...given });

const knotsOf = (screen: ScreenDef, given: Record<string, unknown>, place: ScreenPlace) =>
  predictedKnots(screen, settled(screen, given, place), place, undefined);

/** Union of discs of q pixels, one pixel of 2 × 2 and the checkerboard: exact areas (Roetling & Holladay 1979, from memory; integrated). */
describe.each([
  [1, 0.1964, 0.3927],
  [Math.SQRT2, 0.3927, 0.7854],
  [2, 0.7854, 1],
])('Bayer 2 × 2 under a spot of %d px', (spotPx, quarter, half) => {
  test('knots are the exact areas of its patterns', () => {
    const knots = knotsOf(bayer as unknown as ScreenDef, { matrix: 2 }, at(spotPx));
    for (const [share, etched] of knots) {
      if (share > 0.13 && share < 0.37) expect(etched).toBeCloseTo(quarter, 3);
      if (share > 0.38 && share < 0.62) expect(etched).toBeCloseTo(half, 3);
    }
    expect(knots[0]).toEqual([0, 0]);
    expect(knots).toHaveLength(17);
  });
});

test('where paper is etched the curve speaks of what is etched, and the table of ink', () => {
  const def = bayer as unknown as ScreenDef;
  const [ink, paper] = (['ink', 'paper'] as const).map((etchedSide) => at(2, { etchedSide }));
  const ofInk = spotCurve(def, settled(def, { matrix: 8 }, ink!), ink!, undefined);
  const ofPaper = spotCurve(def, settled(def, { matrix: 8 }, paper!), paper!, undefined);
  // a mark gains: less is fired than asked for, so relief keeps more ink in the file
  expect(ofInk.table[32768]!).toBeLessThan(20000);
  expect(ofPaper.table[32768]!).toBeGreaterThan(45000);
  for (const { table } of [ofInk, ofPaper]) {
    expect([table[0], table[65535]]).toEqual([0, 65535]);
    for (let tone = 1; tone < 65536; tone++)
      if (table[tone]! < table[tone - 1]!) expect.fail(`falls at ${tone}`);
  }
});

test('flat tones of error diffusion arrive within a point after the spot', () => {
  const def = errordiffusion as unknown as ScreenDef;
  const place = at(2);
  const { table } = spotCurve(def, settled(def, {}, place), place, undefined);
  for (const share of [0.1, 0.3, 0.5, 0.7]) {
    const asked = Math.round(share * 65535);
    const map = screened(def, flat(table[asked]!, 512), {}, {}, place);
    // the outermost pixels lack neighbours: half a pixel all round
    expect(Math.abs(predictedCoverage(map, { spotPx: 2, beam: 'pulse' }) - share)).toBeLessThan(0.01);
  }
});

test('a table undoes a curve to one part in ten thousand', () => {
  const curve = monotoneCurve([
    [0, 0],
    [0.3, 0.6],
    [1, 1],
  ]);
  const table = toneTableFor(curve, placeOf());
  for (let tone = 0; tone < 65536; tone += 4095)
    expect(Math.abs(curve.at(table[tone]! / 65535) - tone / 65535)).toBeLessThan(1e-4);
});
