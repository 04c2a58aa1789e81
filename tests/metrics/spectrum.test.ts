import { describe, expect, test } from 'vitest';
import { rowStream } from '../../src/core/rng.ts';
import { nasanen } from './eye.mjs';
import { powerSpectrum, radialSpectrum, strongestSector, visibleNoise } from './spectrum.mjs';

const SIDE = 128;

/** Windows of independent dots one beside the other, each pixel 1 with the given chance. */
function whiteNoise(chance: number, windows: number): Float32Array {
  const next = rowStream(5, 0, 0);
  return Float32Array.from({ length: SIDE * SIDE * windows }, () => (next() / 2 ** 32 < chance ? 1 : 0));
}
const pattern = (toneAt: (x: number, y: number) => number): Float32Array =>
  Float32Array.from({ length: SIDE * SIDE }, (_, i) => toneAt(i % SIDE, Math.floor(i / SIDE)));
const mean = (values: readonly number[]): number => values.reduce((a, b) => a + b) / values.length;

describe('white noise, ten windows, a quarter of the pixels', () => {
  const spectrum = powerSpectrum(whiteNoise(0.25, 10), SIDE, SIDE);
  const radial = radialSpectrum(spectrum);

  test('has the variance of independent dots', () => {
    expect(spectrum.windows).toBe(10);
    expect(spectrum.variance).toBeCloseTo(0.1875, 2); // g (1 − g)
  });

  // Ulichney 1987: power over variance is 1 at every radius; anisotropy is −10 log10 of the number of windows, in dB
  test('is level, and without a direction', () => {
    expect(mean(radial.map(({ power }) => power))).toBeCloseTo(1, 1);
    expect(Math.abs(mean(radial.map(({ anisotropyDb }) => anisotropyDb)) + 10)).toBeLessThan(0.5);
    expect(strongestSector(spectrum)).toBeLessThan(1.05);
  });

  test('shows as much to an eye that sees all as there is', () => {
    expect(visibleNoise(spectrum, () => 1, 1)).toBeCloseTo(Math.sqrt(spectrum.variance), 12);
    expect(visibleNoise(spectrum, nasanen(100), 103)).toBeLessThan(0.1 * Math.sqrt(spectrum.variance));
  });
});

test('a cosine has its power at its own radius and shows by the share of the eye there', () => {
  const wave = pattern((x) => 0.5 + 0.25 * Math.cos((2 * Math.PI * 16 * x) / SIDE));
  const spectrum = powerSpectrum(wave, SIDE, SIDE);
  expect(spectrum.variance).toBeCloseTo(0.25 ** 2 / 2, 7);
  const strongest = radialSpectrum(spectrum).reduce((a, b) => (b.power > a.power ? b : a));
  expect(strongest.cyclesPerPx).toBe(16 / SIDE);
  const eye = nasanen(100);
  expect(visibleNoise(spectrum, eye, 103)).toBeCloseTo((0.25 / Math.SQRT2) * eye((16 / SIDE) * 103), 6);
});

test('the largest radius is that of the corner', () => {
  const radii = radialSpectrum(powerSpectrum(whiteNoise(0.5, 1), SIDE, SIDE));
  expect(radii.at(-1)?.cyclesPerPx).toBeCloseTo(Math.SQRT1_2, 2);
});

test.each([
  ['level', (_: number, y: number) => y],
  ['upright', (x: number) => x],
  ['slanting', (x: number, y: number) => x + y],
])('%s lines fill one sector of twelve', (_, along) => {
  const lines = pattern((x, y) => (along(x, y) % 8 < 4 ? 1 : 0));
  expect(strongestSector(powerSpectrum(lines, SIDE, SIDE))).toBeGreaterThan(11);
});
