import { expect, test } from 'vitest';
import { barenDepthMm, rollerDipMm } from '../../../src/core/hold/depth.ts';

// a carver's own measurements: woodblock.com, encyclopedia, chapter 18; 0.07 of the gap, never over 5 mm
test.each([
  [0, 0],
  [5, 0.35],
  [10, 0.7],
  [20, 1.3],
  [25, 1.65],
  [30, 2],
  [40, 2.8],
  [50, 3.6],
  [100, 4.5],
  [200, 5],
])('a gap of %s mm is cleared %s mm deep for a baren', (gapMm, depthMm) => {
  expect(barenDepthMm(gapMm)).toBeCloseTo(depthMm, 9);
});

test('a wider gap never needs less', () => {
  for (let gap = 0; gap < 200; gap += 0.5)
    expect(barenDepthMm(gap + 0.5)).toBeGreaterThanOrEqual(barenDepthMm(gap));
});

// circle geometry: R 25 mm dips 2.1 mm into 20 mm and 5 mm into 30 mm; about g² / 8R for small gaps
test('a roller dips into a gap', () => {
  expect(rollerDipMm(20, 25)).toBeCloseTo(2.0871, 4);
  expect(rollerDipMm(30, 25)).toBeCloseTo(5, 12);
  expect(rollerDipMm(2, 25)).toBeCloseTo(4 / 200, 4);
});

test('no depth helps where the roller fits into the gap', () => {
  expect(rollerDipMm(49.9, 25)).toBeGreaterThan(20);
  expect(rollerDipMm(50, 25)).toBeNull();
  expect(rollerDipMm(80, 25)).toBeNull();
});
