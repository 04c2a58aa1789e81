import { describe, expect, test } from 'vitest';
import {
  bowGrowth,
  bowRadiusMm,
  focusDepthMm,
  focusOf,
  rayleighMm,
  sagittaMm,
  spotGrowth,
} from '../../src/core/focus.ts';

// Gaussian beam, Siegman, Lasers (1986), ch. 17 (from memory); values worked outside the project
describe('focus of a lens', () => {
  test.each([
    [38.1, 4, 154.26, 1.4694],
    [50.8, 4, 205.68, 2.6122],
    [63.5, 4, 257.11, 4.0815],
    [101.6, 4, 411.37, 10.449],
    [50.8, 7, 117.53, 0.853],
  ])('10.6 µm, M² 1.2, f %s mm, beam %s mm: %s µm, z_R %s mm', (focalMm, beamMm, spotUm, rayleigh) => {
    const focus = focusOf({ wavelengthUm: 10.6, m2: 1.2, focalMm, beamMm });
    expect(focus.spotMm * 1000).toBeCloseTo(spotUm, 1);
    expect(focus.rayleighMm).toBeCloseTo(rayleigh, 3);
  });

  // published example: w₀ 25 µm, 1064 nm, M² 1.1 gives z_R of about 1.7 mm
  test('w₀ 25 µm at 1.064 µm and M² 1.1 gives 1.6776 mm', () => {
    expect(rayleighMm(0.05, { wavelengthUm: 1.064, m2: 1.1 })).toBeCloseTo(1.6776, 4);
  });

  test('spot grows by 5 % at 0.3202 z_R, 10 % at 0.4583, √2 at z_R', () => {
    expect(focusDepthMm(1.05, 1)).toBeCloseTo(0.3202, 4);
    expect(focusDepthMm(1.1, 1)).toBeCloseTo(0.4583, 4);
    expect(focusDepthMm(Math.SQRT2, 1)).toBeCloseTo(1, 12);
    expect(spotGrowth(focusDepthMm(1.2, 2.6), 2.6)).toBeCloseTo(1.2, 12);
  });

  test('f 50.8 mm: 220.24 µm at 1 mm out of focus, 259.05 at 2; 5 % within 0.836 mm, 10 % within 1.197', () => {
    const { spotMm, rayleighMm: zR } = focusOf({ wavelengthUm: 10.6, m2: 1.2, focalMm: 50.8, beamMm: 4 });
    expect(1000 * spotMm * spotGrowth(1, zR)).toBeCloseTo(220.24, 2);
    expect(1000 * spotMm * spotGrowth(-2, zR)).toBeCloseTo(259.05, 2);
    expect(focusDepthMm(1.05, zR)).toBeCloseTo(0.836, 3);
    expect(focusDepthMm(1.1, zR)).toBeCloseTo(1.197, 3);
  });
});

// circle geometry
describe('bowed sheets', () => {
  test.each([
    [100, 0.25, 5000.125],
    [300, 1, 11250.5],
    [300, 2, 5626],
    [600, 2, 22501],
  ])('%s mm long and %s mm high is part of a circle of %s mm', (chordMm, bowMm, radiusMm) => {
    expect(bowRadiusMm(chordMm, bowMm)).toBeCloseTo(radiusMm, 9);
    expect(sagittaMm(chordMm, radiusMm)).toBeCloseTo(bowMm, 8);
  });

  test('a quarter along, 300 mm bowed by 1 mm has lost a quarter of its height', () => {
    expect(1 - sagittaMm(150, bowRadiusMm(300, 1))).toBeCloseTo(0.75, 4);
  });

  test.each([
    [1, 1.0182, 1.0708],
    [2, 1.0708, 1.2594],
    [4, 1.2594, 1.8289],
  ])('a bow of %s mm at z_R 2.612 mm: %s focused halfway, %s at the edge', (bowMm, half, edge) => {
    expect(bowGrowth(bowMm, 2.612189, 'half')).toBeCloseTo(half, 4);
    expect(bowGrowth(bowMm, 2.612189, 'edge')).toBeCloseTo(edge, 4);
  });
});
