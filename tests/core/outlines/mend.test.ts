import { describe, expect, test } from 'vitest';
import { mend } from '../../../src/core/outlines/mend.ts';
import {
  areaMm2,
  closed,
  countLoops,
  opened,
  partsOf,
  polygonsOf,
} from '../../../src/core/outlines/polygons.ts';
import { star } from './shapes.ts';

const rectangle = (x: number, y: number, width: number, height: number) => [
  { x, y },
  { x: x + width, y },
  { x: x + width, y: y + height },
  { x, y: y + height },
];

/** Two squares of 20 mm, 10 mm apart, joined by a neck. */
const dumbbell = (neckMm: number) => [
  { x: 0, y: 0 },
  { x: 20, y: 0 },
  { x: 20, y: 10 - neckMm / 2 },
  { x: 30, y: 10 - neckMm / 2 },
  { x: 30, y: 0 },
  { x: 50, y: 0 },
  { x: 50, y: 20 },
  { x: 30, y: 20 },
  { x: 30, y: 10 + neckMm / 2 },
  { x: 20, y: 10 + neckMm / 2 },
  { x: 20, y: 20 },
  { x: 0, y: 20 },
];
const plain = { rimMm: 0, minRadiusMm: 0, minBridgeMm: 3 };
const TOLERANCE = 0.1;

describe.each([0.2, 1, 2.5])('a neck of %d mm under a bridge of 3 mm', (neckMm) => {
  const drawn = polygonsOf([dumbbell(neckMm)]);
  const mended = mend(drawn, plain, TOLERANCE);

  test('breaks as drawn, and holds when mended', () => {
    expect(partsOf(opened(drawn, 1.45)).length).toBe(2);
    expect(mended.widened).toBe(1);
    expect(partsOf(opened(mended.polygons, 1.45)).length).toBe(1);
  });

  test('grows by no more than a bridge, and nothing else changes', () => {
    expect(areaMm2(mended.polygons) - areaMm2(drawn)).toBeLessThan(10 * 3 + 4 * 3);
    expect(areaMm2(mended.polygons)).toBeGreaterThan(areaMm2(drawn) + 10 * (3 - neckMm) - 0.5);
  });
});

test('a neck that is wide enough stays as it is, and so do free ends', () => {
  for (const shape of [dumbbell(3.2), star(5, 22, 10, 30, 30), rectangle(0, 0, 40, 20)]) {
    const drawn = polygonsOf([shape]);
    const mended = mend(drawn, plain, TOLERANCE);
    expect(mended.widened).toBe(0);
    expect(areaMm2(mended.polygons)).toBeCloseTo(areaMm2(drawn), 2);
  }
});

test('a wall between a hole and the edge is a bridge, too', () => {
  const drawn = polygonsOf([rectangle(0, 0, 40, 40), rectangle(10, 1, 20, 20)]);
  const mended = mend(drawn, plain, TOLERANCE);
  expect(mended.widened).toBe(1);
  expect(countLoops(opened(mended.polygons, 1.45))).toEqual({ pieces: 1, holes: 1 });
});

test('a ring that is too thin all round becomes a thicker ring', () => {
  const drawn = polygonsOf([rectangle(0, 0, 40, 40), rectangle(1, 1, 38, 38)]);
  expect(opened(drawn, 1.45)).toEqual([]);
  const mended = mend(drawn, plain, TOLERANCE);
  expect(countLoops(opened(mended.polygons, 1.45))).toEqual({ pieces: 1, holes: 1 });
});

describe.each([0.5, 2])('a smallest radius of %d mm', (minRadiusMm) => {
  const mended = mend(
    polygonsOf([star(5, 22, 10, 30, 30), rectangle(26, 26, 8, 8)]),
    { rimMm: 0, minRadiusMm, minBridgeMm: 0 },
    TOLERANCE,
  );
  const area = areaMm2(mended.polygons);

  // a shape that a disc reaches into everywhere, from inside and from outside, has no sharper bend than the disc
  test('is kept at outer and inner corners', () => {
    expect(area - areaMm2(opened(mended.polygons, 0.98 * minRadiusMm))).toBeLessThan(0.02);
    expect(areaMm2(closed(mended.polygons, 0.98 * minRadiusMm)) - area).toBeLessThan(0.02);
  });
});

test('corners are rounded as their closed form says', () => {
  const square = polygonsOf([rectangle(0, 0, 30, 30)]);
  const { polygons } = mend(square, { rimMm: 0, minRadiusMm: 3, minBridgeMm: 0 }, TOLERANCE);
  expect(areaMm2(polygons)).toBeCloseTo(900 - (4 - Math.PI) * 9, 1);
});

test('a rim grows the shape and shrinks its holes; what is lost is told', () => {
  const shape = polygonsOf([rectangle(0, 0, 30, 30), rectangle(10, 10, 10, 10), rectangle(60, 5, 0.4, 0.4)]);
  const wide = mend(shape, { rimMm: 2, minRadiusMm: 0, minBridgeMm: 0 }, TOLERANCE);
  // Steiner's formula for what grows, plain subtraction for the hole, whose corners stay square
  const grown = (side: number) => side * side + 8 * side + Math.PI * 4;
  // arcs are drawn by chords, 5 µm off at most along 25 mm of them
  expect(Math.abs(areaMm2(wide.polygons) - (grown(30) + grown(0.4) - 36))).toBeLessThan(0.13);
  const mended = mend(shape, { rimMm: 0, minRadiusMm: 0.5, minBridgeMm: 0 }, TOLERANCE);
  expect([mended.lostPieces, mended.lostHoles]).toEqual([1, 0]);
  const filled = mend(shape, { rimMm: 6, minRadiusMm: 0, minBridgeMm: 0 }, TOLERANCE);
  expect(countLoops(filled.polygons).holes).toBe(0);
});
