import fc from 'fast-check';
import { expect, test } from 'vitest';
import { ticks } from '../../../src/report/jobsheet/axis.ts';
import { coverageHistogram } from '../../../src/report/jobsheet/histogram.ts';
import { type ToneCurves, tonePlot } from '../../../src/report/jobsheet/tone-plot.ts';
import { full } from './sheets.ts';
import { type Element, elementsOf, named, parseStrictly, textOf } from './strict.ts';

const number = (element: Element, name: string): number => Number(element.attributes.get(name));
const tone = (curves: ToneCurves): Element => parseStrictly(tonePlot(curves)!.markup);

test('ticks are even, round, begin at 0 and just reach the largest value', () => {
  fc.assert(
    fc.property(
      fc.double({ min: 1e-6, max: 1e6, noNaN: true }),
      fc.integer({ min: 2, max: 10 }),
      (most, count) => {
        const found = ticks(most, count);
        const step = found[1]!;
        expect(found[0]).toBe(0);
        for (const [i, value] of found.entries()) expect(value / step).toBeCloseTo(i, 6);
        expect(['1', '2', '5']).toContain(step.toExponential(6)[0]);
        expect(Number(step.toExponential(6).slice(1, 8))).toBe(0);
        expect(found[found.length - 1]! * (1 + 1e-8)).toBeGreaterThanOrEqual(most);
        expect(found[found.length - 2]!).toBeLessThan(most);
        expect(found.length - 1).toBeLessThanOrEqual(count + 1);
      },
    ),
    { seed: 3 },
  );
});

test('measured tones are dots where their two axes say', () => {
  const points = [
    [0, 0],
    [0.5, 0.25],
    [1, 1],
  ] as const;
  const dots = named(tone({ measured: points }), 'circle').slice(0, 3);
  const [first, middle, last] = dots.map((dot) => [number(dot, 'cx'), number(dot, 'cy')] as const);
  expect(middle![0]).toBeCloseTo((first![0] + last![0]) / 2, 1);
  expect(middle![1]).toBeCloseTo(first![1] + (last![1] - first![1]) / 4, 1);
  expect(last![1]).toBeLessThan(first![1]);
});

test('each line of the plot has its own stroke, and only known ones are told', () => {
  const strokes = (curves: ToneCurves) =>
    named(tone(curves), 'path')
      .filter((path) => path.attributes.get('class') === 'line')
      .map((path) => path.attributes.get('stroke-dasharray') ?? 'whole');
  // a line and its sample in the legend
  expect(new Set(strokes(full.tone)).size).toBe(3);
  expect(strokes(full.tone)).toHaveLength(6);
  const { asked } = full.tone;
  expect(new Set(strokes({ asked: asked! })).size).toBe(1);
  expect(textOf(tone({ asked: asked! }))).not.toContain('measured');
  // what tells them apart stands above the highest tone, where no curve runs
  const legend = named(tone(full.tone), 'text').filter((text) =>
    Object.keys(full.tone).includes(textOf(text)),
  );
  const highest = Math.min(
    ...named(tone({ measured: [[0.1, 1]] }), 'circle').map((dot) => number(dot, 'cy')),
  );
  expect(legend).toHaveLength(3);
  for (const text of legend) expect(number(text, 'y')).toBeLessThan(highest + 2);
  expect(tonePlot({})).toBeNull();
  expect(tonePlot({ asked: [], measured: [[Number.NaN, 0.5]] })).toBeNull();
});

test('what the plot shows is told in words too', () => {
  const [title, about] = ['title', 'desc'].map((name) => named(tone(full.tone), name)[0]!);
  expect(textOf(about!)).toContain('measured 63 % at a tone of 50 %');
  const svg = named(tone(full.tone), 'svg')[0]!;
  expect(svg.attributes.get('aria-labelledby')).toBe(
    [title, about].map((part) => part!.attributes.get('id')).join(' '),
  );
});

test('bars of the histogram are as high as their share and cover the axis', () => {
  fc.assert(
    fc.property(fc.array(fc.integer({ min: 1, max: 1000 }), { minLength: 2, maxLength: 20 }), (bins) => {
      const bars = named(parseStrictly(coverageHistogram(bins)!.markup), 'rect');
      expect(bars).toHaveLength(bins.length);
      const perUnit = bars.map((bar, i) => number(bar, 'height') / bins[i]!);
      const tallest = bins.indexOf(Math.max(...bins));
      for (const [i, share] of perUnit.entries())
        expect(share * bins[i]!).toBeCloseTo(perUnit[tallest]! * bins[i]!, 1);
    }),
    { seed: 4, numRuns: 50 },
  );
  expect(coverageHistogram([])).toBeNull();
  expect(coverageHistogram([0, 0])).toBeNull();
});

test('nothing of a chart lies outside of it, whatever the points', () => {
  const wild = fc.array(fc.tuple(fc.double(), fc.double()), { maxLength: 8 });
  fc.assert(
    fc.property(wild, (points) => {
      const plot = tonePlot({ predicted: points, measured: points });
      if (plot === null) return;
      const page = parseStrictly(plot.markup);
      const [, , width, height] = named(page, 'svg')[0]!.attributes.get('viewBox')!.split(' ').map(Number);
      for (const path of elementsOf(page).filter(({ attributes }) => attributes.get('class') === 'line'))
        for (const [, x, y] of path.attributes.get('d')!.matchAll(/[ML]([\d.e-]+) ([\d.e-]+)/g)) {
          expect(Number(x)).toBeGreaterThanOrEqual(0);
          expect(Number(x)).toBeLessThanOrEqual(width!);
          expect(Number(y)).toBeGreaterThanOrEqual(0);
          expect(Number(y)).toBeLessThanOrEqual(height!);
        }
      expect(plot.markup).not.toMatch(/NaN|Infinity/);
    }),
    { seed: 5 },
  );
});
