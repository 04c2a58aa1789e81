import { expect, test } from 'vitest';
import {
  densityOf,
  densityOfCoverage,
  effectiveCoverage,
  lightnessOf,
  reflectanceOf,
  toneValueIncrease,
} from '../../src/core/calibration/density.ts';

// ISO 5-4: D = −log10 R
test.each([
  [0.5, 0.30103],
  [0.18, 0.744727],
  [0.1, 1],
  [0.05, 1.30103],
])('reflectance %d is density %d, and back', (reflectance, density) => {
  expect(densityOf(reflectance)).toBeCloseTo(density, 5);
  expect(reflectanceOf(density)).toBeCloseTo(reflectance, 5);
});

// CIE 15:2018, 8.2.1.1
test.each([
  [0.001, 0.9033],
  [0.00885645, 8],
  [0.01, 8.99144],
  [0.05, 26.73477],
  [0.18, 49.49611],
  [0.5, 76.06926],
  [0.8, 91.68486],
])('reflectance %d is lightness %d', (reflectance, lightness) =>
  expect(lightnessOf(reflectance)).toBeCloseTo(lightness, 4),
);

// Murray–Davies; the first two published on the alt-photo-process list, September 2004
test.each([
  [0.5, 3, 0.3006],
  [0.5, 1.33, 0.2812],
  [0.25, 1.4, 0.119213],
  [0.75, 1.4, 0.553062],
  [0.8, 1.4, 0.634796],
  [0.8, 1.2, 0.601233],
])('a share of %d under a solid of %d has density %d, and back', (share, solid, density) => {
  expect(densityOfCoverage(share, solid)).toBeCloseTo(density, 4);
  expect(effectiveCoverage(density, solid)).toBeCloseTo(share, 3);
});

// Yule & Nielsen 1951; worked in Python from the formula
test.each([
  [1, 0.712122],
  [1.2, 0.661982],
  [1.5, 0.606561],
  [1.7, 0.578887],
  [2, 0.54675],
  [Number.POSITIVE_INFINITY, 0.357143],
])('with n = %d, density 0.5 under a solid of 1.4 is %d', (n, share) =>
  expect(effectiveCoverage(0.5, 1.4, n)).toBeCloseTo(share, 6),
);

test('light that spreads in the paper looks like 13.5 points of gain at n = 1.7', () => {
  const density = densityOfCoverage(0.5, 1.4, 1.7);
  expect(density).toBeCloseTo(0.40848, 5);
  expect(toneValueIncrease(effectiveCoverage(density, 1.4), 0.5)).toBeCloseTo(13.4866, 4);
});
