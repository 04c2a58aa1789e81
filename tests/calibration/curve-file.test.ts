import { expect, test } from 'vitest';
import { type CurveFile, curveKnotsFor, parseCurve } from '../../src/core/calibration/curve-file.ts';
import { driftOf } from '../../src/core/calibration/drift.ts';
import type { PatchReading } from '../../src/core/calibration/sample.ts';
import { monotoneCurve } from '../../src/core/curve.ts';

/** A print whose densities are worked by hand: white 0, solid 1 above it, so light falls from 1 to 0.1. */
const knot = (share: number, printed: number) => ({ share, printed, plusMinus: 0, density: 0, lightness: 0 });

const FILE = {
  schema: 'etchwright/curve',
  version: 1,
  name: 'acrylic-cotton',
  measuredOn: '2031-05-03',
  layoutId: '0123abcd',
  process: 'intaglio',
  machine: null,
  material: 'acrylic 3',
  batch: null,
  dpi: 500,
  screen: { kind: 'grain', params: { grainMm: 0.2 } },
  spotMm: 0.1,
  wedge: null,
  target: 'lightness',
  whiteDensity: 0,
  solidDensity: 1,
  knots: [knot(0, 0), knot(0.2, 0.4), knot(0.5, 0.8), knot(0.8, 1), knot(1, 1)],
  capPercent: 78,
  floorPercent: 3,
  limits: {
    minWallMm: null,
    minLandMm: null,
    minGapMm: { mm: 0.2, plusMinusMm: 0.05, atEnd: false },
    minMarkMm: null,
    maxPoolMm: null,
    maxGapMm: null,
  },
  stretch: null,
  spot: null,
  warnings: [],
  readings: [],
} satisfies CurveFile;

test('a curve survives being written and read', () =>
  expect(parseCurve(JSON.parse(JSON.stringify(FILE)))).toEqual(FILE));

test.each([
  [{ ...FILE, schema: 'x' }, 'curve-not-valid', 'schema'],
  [{ ...FILE, version: 2 }, 'curve-version', 'version 2'],
  [{ ...FILE, measuredOn: '3 May' }, 'curve-not-valid', 'measuredOn'],
  [{ ...FILE, knots: [knot(0, 0), knot(0.5, 0.6), knot(0.5, 0.7)] }, 'curve-not-valid', 'rise'],
  [{ ...FILE, knots: [knot(0, 0), knot(0.5, 0.6), knot(1, 0.5)] }, 'curve-not-valid', 'fall'],
  [{ ...FILE, solidDensity: 0 }, 'curve-not-valid', 'darker'],
  [{ ...FILE, extra: 1 }, 'curve-not-valid', 'extra'],
  [null, 'curve-not-valid', 'not one'],
])('what is no curve is told so: %#', (value, code, words) => {
  expect(() => parseCurve(value)).toThrow(
    expect.objectContaining({ code, message: expect.stringContaining(words) }),
  );
});

test('by lightness, half a tone asked for prints half way in L*', () => {
  const curve = monotoneCurve(curveKnotsFor(FILE, 'ink'));
  // L* of light 1 − 0.9 · 0.8 = 0.28 is 59.89 (CIE 15:2018); of the solid's 0.1, 37.842: (100 − 59.89) / (100 − 37.842)
  expect(curve.at(0.5)).toBeCloseTo(0.6453, 3);
  expect(curve.at(curve.inverse(0.5))).toBeCloseTo(0.5, 6);
});

test('by density, it prints half the density', () => {
  const curve = monotoneCurve(curveKnotsFor({ ...FILE, target: 'density' }, 'ink'));
  // −log10(0.28) = 0.5528 of 1
  expect(curve.at(0.5)).toBeCloseTo(0.5528, 4);
});

test('solid asks for no more of the file than the darkest tone needs', () =>
  expect(monotoneCurve(curveKnotsFor(FILE, 'ink')).inverse(1)).toBeCloseTo(0.8, 3));

test('where paper is etched, the same curve stands on its head', () => {
  const ink = curveKnotsFor(FILE, 'ink');
  expect(curveKnotsFor(FILE, 'paper')).toEqual([...ink].reverse().map(([x, y]) => [1 - x, 1 - y]));
});

const patch = (share: number, lightness: number): PatchReading => ({
  id: 'strip',
  zone: 'strip',
  share,
  lightness,
  reflectance: 0,
  sigma: 0,
  density: 0,
  specks: 0,
  sidePx: 100,
  clipped: 0,
});

test('a control strip within 3 L* of the curve holds, one patch beyond it does not', () => {
  // Paper 100, 50 % 59.89, solid 37.84
  const same = driftOf([patch(0, 99), patch(0.5, 62), patch(1, 36)], FILE);
  expect(same.holds).toBe(true);
  const other = driftOf([patch(0, 99), patch(0.5, 63.5), patch(1, 38)], FILE);
  expect(other.patches.map(({ holds }) => holds)).toEqual([true, false, true]);
  expect(other.patches[1]!.off).toBeCloseTo(3.6, 1);
  expect(other.holds).toBe(false);
});
