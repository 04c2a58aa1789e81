import { describe, expect, test } from 'vitest';
import { fourcolour } from '../../../src/core/separations/fourcolour.ts';
import { inkOf } from '../../../src/job/inks.ts';
import {
  anyColours,
  differenceOf,
  lightOfCode,
  meanOf,
  printed,
  tonesOf,
  white,
  withinReach,
} from './mixtures.ts';

const inks = fourcolour.inks.usual!.map(({ name, colour, opaque }) => inkOf(name, colour, opaque));
const BLACK = 3;

function open(given: Record<string, unknown>) {
  const way = fourcolour.way(fourcolour.params.parse(given));
  if (way.draws !== 'tones') throw new Error('plates of tone were wanted');
  return way.open(way.build(inks, white), inks.length);
}

describe('yellow, red, blue and black', () => {
  const [none, half, all] = [0, 50, 100].map((greyReplacementPercent) =>
    open({ greyReplacementPercent, totalInkPercent: 400 }),
  ) as [ReturnType<typeof open>, ReturnType<typeof open>, ReturnType<typeof open>];
  const rgb = withinReach(white, inks, 2000, 4);
  const replaced = [none, half, all].map((split) => tonesOf(split, rgb, 4));

  test('colours within reach come out the same by the model, whoever makes the grey', () => {
    for (const tones of replaced) {
      const off = Array.from({ length: 2000 }, (_, k) =>
        differenceOf(lightOfCode(rgb, k), printed(white, inks, tones, k)),
      );
      expect(meanOf(off)).toBeLessThanOrEqual(0.3);
    }
  });

  test('the more grey is replaced, the more black and the less of the colours', () => {
    const used = replaced.map((tones) => tones.map((row) => meanOf([...row]) / 65535));
    for (const [less, more] of [used.slice(0, 2), used.slice(1)] as [number[], number[]][]) {
      expect(more[BLACK]).toBeGreaterThan(less[BLACK]! + 0.1);
      for (let i = 0; i < BLACK; i++) expect(more[i]).toBeLessThan(less[i]! - 0.02);
    }
  });

  test('greys stay grey, and are black alone where all grey is replaced and the black is neutral enough', () => {
    const greys = Uint8Array.from({ length: 3 * 200 }, (_, i) => 40 + Math.floor(i / 3));
    for (const split of [none, half, all]) {
      const tones = tonesOf(split, greys, 4);
      const off = Array.from({ length: 200 }, (_, k) =>
        differenceOf(lightOfCode(greys, k), printed(white, inks, tones, k)),
      );
      expect(meanOf(off)).toBeLessThanOrEqual(0.3);
      expect(Math.max(...off)).toBeLessThan(1);
    }
    // a light grey without black needs all three colours, with black next to none of them
    const [without, with_] = [none, all].map((split) =>
      tonesOf(split, Uint8Array.of(170, 170, 170), 4).map((row) => row[0]! / 65535),
    ) as [number[], number[]];
    expect(without[BLACK]).toBeLessThan(0.02);
    expect(Math.min(...without.slice(0, 3))).toBeGreaterThan(0.2);
    expect(Math.max(...with_.slice(0, 3))).toBeLessThan(0.06);
  });

  test('white is the bare sheet', () => {
    for (const split of [none, half, all])
      for (const tone of tonesOf(split, Uint8Array.of(255, 255, 255), 4)) expect(tone[0]).toBe(0);
  });
});

test('the limit of all inks together is kept, at its default too', () => {
  const tones = tonesOf(open({}), anyColours(20_000, 7), 4);
  let most = 0;
  for (let k = 0; k < 20_000; k++)
    most = Math.max(most, tones.reduce((sum, row) => sum + row[k]!, 0) / 65535);
  // about 220 % wet on wet from intaglio plates: from memory
  expect(most).toBeLessThanOrEqual(2.2);
  expect(most).toBeGreaterThan(2.1);
});
