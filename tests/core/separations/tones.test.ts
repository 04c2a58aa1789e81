import fc from 'fast-check';
import { expect, test } from 'vitest';
import { getBit } from '../../../src/core/bitmap.ts';
import { toneCurves, tones } from '../../../src/core/separations/tones.ts';
import { eachPixel, greys, patches } from './drawn.ts';

test('blocks lie within each other, and each has all that is as dark as its level', () => {
  fc.assert(
    fc.property(patches(3), (labels) => {
      const way = tones.way({ toneAs: 'blocks', smoothMm: 0 });
      if (way.draws !== 'areas') throw new Error('areas wanted');
      const { plates } = way.shape(
        { labels, asked: null },
        { pxPerMm: 1, inks: greys(3), smallestPx: 1, kerfMm: 0 },
      );
      for (const [index, plate] of plates.entries())
        eachPixel(plate, (x, y, at) => expect(getBit(plate, x, y)).toBe(labels.data[at]! > index ? 1 : 0));
    }),
    { seed: 13, numRuns: 60 },
  );
});

test('even steps unless levels are given', () => {
  const even = tones.way({ toneAs: 'blocks', smoothMm: 0 });
  const given = tones.way({ toneAs: 'blocks', smoothMm: 0, levels: [20, 80] });
  if (even.draws !== 'areas' || given.draws !== 'areas') throw new Error('areas wanted');
  expect(even.levels!(3)).toEqual([0.25, 0.5, 0.75]);
  expect(given.levels!(2)).toEqual([0.2, 0.8]);
  expect(tones.unfit!({ toneAs: 'blocks', smoothMm: 0, levels: [80, 20] }, ['a', 'b'])?.message).toMatch(
    /rise/,
  );
  expect(tones.unfit!({ toneAs: 'curves', smoothMm: 0, levels: [20, 80] }, ['a', 'b'])?.message).toMatch(
    'makes none',
  );
  expect(tones.unfit!({ toneAs: 'blocks', smoothMm: 0, levels: [80] }, ['a', 'b'])?.message).toMatch(
    /1 for 2/,
  );
});

test.each([1, 2, 3, 4])('%d curves rise from bare paper to solid, the later ones later', (count) => {
  const curves = toneCurves(count);
  expect(curves).toHaveLength(count);
  for (const [index, curve] of curves.entries()) {
    expect([curve(0), curve(1)]).toEqual([0, 1]);
    for (let i = 0; i < 100; i++) {
      expect(curve((i + 1) / 100)).toBeGreaterThanOrEqual(curve(i / 100));
      const later = curves[index + 1];
      if (later) expect(later(i / 100)).toBeLessThanOrEqual(curve(i / 100));
    }
  }
});

test('a row is divided into a tone for each plate: paper, a middle grey by the curves, black', () => {
  const way = tones.way({ toneAs: 'curves', smoothMm: 0 });
  if (way.draws !== 'tones') throw new Error('tones wanted');
  const split = way.open(way.build(greys(2), [1, 1, 1]), 2);
  const rows = [new Uint16Array(3), new Uint16Array(3)];
  split(Uint8Array.of(255, 255, 255, 128, 128, 128, 0, 0, 0), rows);
  const tone = 1 - 128 / 255;
  expect([...rows[0]!]).toEqual([0, Math.round(65535 * (tone / 0.7)), 65535]);
  expect(rows[1]![0]).toBe(0);
  expect(rows[1]![2]).toBe(65535);
  // dark: ((x − x₀) ÷ (1 − x₀))^γ with x₀ 0.3 and γ 1.4
  expect(Math.abs(rows[1]![1]! / 65535 - ((tone - 0.3) / 0.7) ** 1.4)).toBeLessThan(2e-4);
});
