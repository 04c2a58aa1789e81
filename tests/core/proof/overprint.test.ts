import fc from 'fast-check';
import { expect, test } from 'vitest';
import type { Light } from '../../../src/core/proof/colour.ts';
import { neugebauer, overprints } from '../../../src/core/proof/overprint.ts';

const grey = (value: number): Light => [value, value, value];

function mean(shares: number[], primaries: Light[]): number {
  const light = new Float64Array(3);
  neugebauer(shares, primaries, light);
  expect(light[1]).toBe(light[0]);
  return light[0]!;
}

// Demichel 1924: Π cᵢ or (1 − cᵢ), worked by hand: .5 · .75 · .9 and so on
test('three plates cover what chance gives them', () => {
  const wanted = [0.3375, 0.3375, 0.1125, 0.1125, 0.0375, 0.0375, 0.0125, 0.0125];
  wanted.forEach((area, k) => {
    const only = wanted.map((_, i) => grey(i === k ? 1 : 0));
    expect(mean([0.5, 0.25, 0.1], only)).toBeCloseTo(area, 12);
  });
});

// Neugebauer 1937, worked apart from the program: paper .80, black .04, red .25, both .03 at .4 black and .7 red
test('two plates give the mean light of their four colours', () => {
  expect(mean([0.4, 0.7], [grey(0.8), grey(0.04), grey(0.25), grey(0.03)])).toBeCloseTo(0.2622, 12);
});

// Murray & Davies: a solid of density 1.40 above the paper at half the area reads 0.284076
test('one ink is Murray and Davies', () => {
  const [paper, ink] = [0.8, 0.8 * 10 ** -1.4];
  expect(-Math.log10(mean([0.5], [grey(paper), grey(ink)]) / paper)).toBeCloseTo(0.284076, 6);
});

test('a transparent ink filters what lies below it, an opaque one hides it', () => {
  const paper = grey(0.8);
  const clear = overprints(paper, [
    { light: [0.8, 0.4, 0.2], opaque: true },
    { light: [0.4, 0.4, 0.8], opaque: false },
  ]);
  expect(clear[0]).toEqual(paper);
  expect(clear[2]![0]).toBeCloseTo(0.4, 12);
  expect(clear[3]!.map((value) => Number(value.toFixed(12)))).toEqual([0.4, 0.2, 0.2]);
  const hidden = overprints(paper, [
    { light: [0.8, 0.4, 0.2], opaque: true },
    { light: [0.4, 0.4, 0.8], opaque: true },
  ]);
  expect(hidden[3]).toEqual([0.4, 0.4, 0.8]);
});

test('no overprint is lighter than the paper or darker than nothing', () => {
  const share = fc.double({ min: 0, max: 1, noNaN: true });
  fc.assert(
    fc.property(fc.array(fc.tuple(share, share, fc.boolean()), { minLength: 1, maxLength: 4 }), (plates) => {
      const paper = 0.9;
      const inks = plates.map(([, value, opaque]) => ({ light: grey(value * paper), opaque }));
      const value = mean(
        plates.map(([area]) => area),
        [...overprints(grey(paper), inks)],
      );
      expect(value).toBeGreaterThanOrEqual(0);
      expect(value).toBeLessThanOrEqual(paper + 1e-12);
    }),
    { seed: 3, numRuns: 100 },
  );
});
