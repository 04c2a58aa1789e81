import { describe, expect, test } from 'vitest';
import { mannosSakrison, mannosSakrisonLowPass, nasanen, pxPerDegree } from './eye.mjs';

describe('the eye by frequency', () => {
  // computed in Python, independently of this program, from the formula of Mannos & Sakrison 1974
  test.each([
    [0, 0.04992],
    [1, 0.31595995197919396],
    [8, 0.9807796947778656],
    [20, 0.5026806828488569],
    [60, 0.004475958233492074],
  ])('Mannos and Sakrison at %d cycles a degree', (f, sensitivity) => {
    expect(mannosSakrison(f)).toBeCloseTo(sensitivity, 12);
  });

  test('the low-passed curve is level up to the peak and the same from there on', () => {
    expect(mannosSakrisonLowPass(0)).toBeCloseTo(0.9808778765554855, 9);
    expect(mannosSakrisonLowPass(5)).toBe(mannosSakrisonLowPass(0));
    expect(mannosSakrisonLowPass(16)).toBe(mannosSakrison(16));
    for (let f = 0; f < 60; f += 0.1) expect(mannosSakrison(f)).toBeLessThanOrEqual(mannosSakrisonLowPass(0));
  });

  // Näsänen 1984, computed likewise: half sensitivity and decay in cycles a degree, by luminance in cd/m²
  test.each([
    [10, 3.548121417723682, 5.118857173821874],
    [11, 3.582805008488947, 5.168895018219144],
    [100, 4.386037359457978, 6.327714347643749],
  ])('Näsänen at %d cd/m²', (luminance, half, decay) => {
    expect(nasanen(luminance)(0)).toBe(1);
    expect(nasanen(luminance)(half)).toBeCloseTo(0.5, 12);
    expect(nasanen(luminance)(decay)).toBeCloseTo(Math.exp(-1), 12);
  });

  test.each([
    [300, 10, 52.36120674455274],
    [500, 12, 104.72241348910546],
    [1000, 12, 209.44482697821093],
  ])('pixels a degree at %d dpi and %d inches', (dpi, inches, pixels) => {
    expect(pxPerDegree(dpi, inches * 25.4)).toBeCloseTo(pixels, 9);
  });
});
