import { expect, test } from 'vitest';
import { findingChecks } from '../../src/run/plate/screen-findings.ts';

const box = { xPx: 10, yPx: 20, widthPx: 200, heightPx: 100 };
const finding = (code: string, xPx: number, widthPx: number, sizePx: number) => ({
  code,
  xPx,
  yPx: 4,
  widthPx,
  heightPx: 5,
  sizePx,
  limitPx: 4,
});

test('one check a kind: the finest of all, the largest places first, from the corner of the plate, in mm', () => {
  const found = [
    finding('stroke-too-fine', 1, 3, 1),
    finding('gap-too-fine', 2, 2, 2),
    finding('stroke-too-fine', 50, 30, 2),
  ];
  const [strokes, gaps, ...others] = findingChecks(found, box, 0.05);
  expect(others).toEqual([]);
  expect([strokes!.code, strokes!.count, gaps!.code, gaps!.count]).toEqual([
    'stroke-too-fine',
    2,
    'gap-too-fine',
    1,
  ]);
  expect(strokes!.limitMm).toBeCloseTo(0.2, 12);
  expect(strokes!.worstMm).toBeCloseTo(0.05, 12);
  expect(strokes!.areaMm2).toBeCloseTo((15 + 150) * 0.0025, 12);
  expect(strokes!.share).toBeCloseTo(165 / 20000, 12);
  expect(strokes!.places[0]!.xMm).toBeCloseTo(3, 12);
  expect(strokes!.places[0]!.yMm).toBeCloseTo(1.2, 12);
  expect(strokes!.places[0]!.widthMm).toBeCloseTo(1.5, 12);
});

test('five places at most, and nothing of nothing', () => {
  const many = Array.from({ length: 9 }, (_, i) => finding('stroke-too-fine', i * 20, 2, 1));
  expect(findingChecks(many, box, 0.05)[0]!.places).toHaveLength(5);
  expect(findingChecks([], box, 0.05)).toEqual([]);
});
