import { describe, expect, test } from 'vitest';
import { findPlate } from '../../src/core/calibration/find.ts';
import { fitCurve } from '../../src/core/calibration/fit.ts';
import { readProof } from '../../src/core/calibration/read-proof.ts';
import { findRuler } from '../../src/core/calibration/ruler.ts';
import { findWedge } from '../../src/core/calibration/wedge.ts';
import { parseWedge, type Wedge } from '../../src/core/calibration/wedge-file.ts';
import { lightByWedge, withinWedge } from '../../src/core/calibration/wedge-light.ts';
import { anyPrint, gained, misses, type Printed, refusal, scanOf } from './proofs.ts';
import { smallPlate } from './small-plate.ts';

const layout = smallPlate('intaglio');

/** A wedge of tenths of density, as they are sold; where it is not said otherwise, 20 steps of 7 mm. */
const wedgeOf = (more: Partial<Wedge> = {}): Wedge => ({
  schema: 'etchwright/wedge',
  version: 1,
  name: 'W-20',
  stepMm: 7,
  heightMm: 9,
  densities: Array.from({ length: 20 }, (_, i) => 0.05 + 0.1 * i),
  ...more,
});

/** Scanners that are no sRGB: a plain power, and one that lifts shadows and presses lights. */
const CURVES = {
  'light ^ (1 / 1.5)': (light: number) => light ** (1 / 1.5),
  'light ^ (1 / 2.8)': (light: number) => light ** (1 / 2.8),
  // a smooth step laid over a power of 1/2: never falling, slopes from a half to one and a half of it
  'an S over light ^ (1 / 2)': (light: number) => {
    const code = Math.sqrt(light);
    return 0.5 * code + 0.5 * code * code * (3 - 2 * code);
  },
};

function read(print: Printed, wedge: Wedge) {
  const seen = scanOf(layout, { wedge, ...print });
  const found = findPlate(seen, layout);
  const told = lightByWedge(seen, layout, found, wedge);
  const proof = readProof(told.scan, layout, found);
  withinWedge(told, proof, layout);
  return { seen, told, proof };
}

const usual = { ppi: 300, gain: gained(0.12) };

describe('a wedge of known densities in the scan', () => {
  test.each(Object.entries(CURVES))(
    'a scanner of %s: the curve within 1 point, which sRGB misses',
    (_, scannerCurve) => {
      const print = { ...usual, scannerCurve, depthBits: 16 as const };
      const { proof, seen } = read(print, wedgeOf());
      const { knots, solidDensity, whiteDensity } = fitCurve([proof]);
      const { worst, rms } = misses(knots, usual.gain);
      expect(worst).toBeLessThan(1);
      expect(rms).toBeLessThan(0.5);
      expect(Math.abs(whiteDensity - 0.04)).toBeLessThan(0.01);
      expect(Math.abs(solidDensity - 1.35)).toBeLessThan(0.03);
      const without = fitCurve([readProof(seen, layout)]);
      expect(misses(without.knots, usual.gain).worst).toBeGreaterThan(2);
    },
  );

  test.each([2, 4, 5])('print %d: turned, mirrored, unevenly lit, the wedge either way round', (seed) => {
    const print = { ...anyPrint(seed), ppi: 300, marginMm: 10, perspective: { x: 0, y: 0 } };
    const wedge = wedgeOf();
    const laid = { ...wedge, angleDeg: 2 * (seed % 3) - 2, isReversed: seed % 2 === 0 };
    // paper that the lamp shows darker or brighter than the wedge lies beyond it
    const dim = { unevenDensity: Math.min(0.1, print.unevenDensity ?? 0), paperLight: 0.72 };
    const { proof } = read(
      { ...print, ...dim, wedge: laid, scannerCurve: CURVES['light ^ (1 / 2.8)'] },
      wedge,
    );
    const { knots, solidDensity } = fitCurve([proof]);
    const { worst, rms } = misses(knots, print.gain);
    expect(worst).toBeLessThan(1);
    expect(rms).toBeLessThan(0.5);
    expect(Math.abs(solidDensity - print.solidDensity)).toBeLessThan(0.03);
  });

  test('its steps are read in order, whatever lies beside them', () => {
    const wedge = wedgeOf({ stepMm: 5, densities: [0.06, 0.2, 0.31, 0.5, 0.72, 0.9, 1.2, 1.6] });
    const seen = scanOf(layout, { ...usual, wedge, rulerMm: 100 });
    const found = findPlate(seen, layout);
    const steps = findWedge(seen, layout, found, wedge);
    expect(steps.map(({ density }) => density)).toEqual(wedge.densities);
    for (const { yMm } of steps) expect(Math.abs(yMm - steps[0]!.yMm)).toBeLessThan(0.2);
    steps.slice(1).forEach(({ xMm }, i) => {
      expect(Math.abs(xMm - steps[i]!.xMm - 5)).toBeLessThan(0.1);
    });
    // and the ruler is still the ruler, though the wedge may be as dark and as long
    expect(findRuler(seen, layout, found, 100).pxPerMm).toBeCloseTo(300 / 25.4, 1);
  });
});

describe('refused', () => {
  test('a wedge that is not there', () => {
    const seen = scanOf(layout, { ...usual, rulerMm: 100 });
    expect(refusal(() => findWedge(seen, layout, findPlate(seen, layout), wedgeOf()))).toBe('no-wedge');
  });

  test.each([
    ['steps of another length', { stepMm: 6 }],
    ['a step that the file leaves out', { densities: Array.from({ length: 19 }, (_, i) => 0.05 + 0.1 * i) }],
    ['more steps than there are', { densities: Array.from({ length: 24 }, (_, i) => 0.05 + 0.08 * i) }],
  ])('a wedge with %s', (_, more) =>
    expect(refusal(() => read({ ...usual, wedge: wedgeOf() }, wedgeOf(more)))).toBe('wedge-not-read'),
  );

  test('ink darker, and paper lighter, than the wedge tells', () => {
    const short = wedgeOf({ densities: Array.from({ length: 12 }, (_, i) => 0.05 + 0.1 * i) });
    expect(refusal(() => read(usual, short))).toBe('beyond-wedge');
    const dark = wedgeOf({ densities: Array.from({ length: 15 }, (_, i) => 0.2 + 0.1 * i) });
    expect(refusal(() => read(usual, dark))).toBe('beyond-wedge');
  });

  test('a file whose densities do not rise, or are too few', () => {
    const words = (wedge: unknown) => {
      try {
        parseWedge(wedge);
      } catch (error) {
        return (error as Error).message;
      }
      return '';
    };
    expect(words(wedgeOf({ densities: [0.1, 0.3, 0.2, 0.4, 0.5] }))).toContain('lightest first');
    expect(words(wedgeOf({ densities: [0.1, 0.3] }))).toContain('densities');
    expect(words({ ...wedgeOf(), steps: 3 })).not.toBe('');
    expect(words(wedgeOf({ name: 'W\u001b[31m' }))).toContain('name');
    expect(words(wedgeOf())).toBe('');
  });
});
