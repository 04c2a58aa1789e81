import { expect, test } from 'vitest';
import { reflectanceOf } from '../../src/core/calibration/density.ts';
import { fitCurve } from '../../src/core/calibration/fit.ts';
import { limitsOf, spotOf } from '../../src/core/calibration/limits.ts';
import { readProof } from '../../src/core/calibration/read-proof.ts';
import { findRuler, stretchOf } from '../../src/core/calibration/ruler.ts';
import { readShapes, type ShapeReading } from '../../src/core/calibration/shapes.ts';
import { arrangeTestPlate } from '../../src/core/testplate/arrange.ts';
import { scanOf } from './proofs.ts';
import { smallPlate } from './small-plate.ts';

const RULER_MM = 100;

test.each([
  [
    'intaglio',
    { angleDeg: 4, growthMm: 0.03, stretch: { x: 0.004, y: -0.006 } },
    { minWallMm: 0.3, minLandMm: 0.3, minGapMm: 0.15, minMarkMm: 0.2, maxPoolMm: 2 },
  ],
  [
    'relief',
    { angleDeg: -94, growthMm: 0.05, stretch: { x: -0.002, y: 0.003 }, unevenDensity: 0.2 },
    { minWallMm: 0.4, minLandMm: 0.6, minGapMm: 0.2, minMarkMm: 0.3 },
  ],
] as const)('%s: what held, the spot within 10 µm, the stretch within 0.05 %', (process, print, limits) => {
  // so fine that its bars are whole pixels wide
  const layout = { ...smallPlate(process), dpi: 2540 };
  const scan = scanOf(layout, { ...print, limits, ppi: 400, rulerMm: RULER_MM });
  const proof = readProof(scan, layout);
  const { whiteDensity, solidDensity } = fitCurve([proof]);
  const ends = { white: reflectanceOf(whiteDensity), solid: reflectanceOf(solidDensity) };
  const shapes = readShapes(scan, layout, proof, ends);

  for (const [name, limit] of Object.entries(limitsOf(shapes))) {
    expect([name, limit?.mm]).toEqual([name, limits[name as keyof typeof limits]]);
  }
  const ruler = findRuler(scan, layout, proof.found, RULER_MM);
  const { xPercent, yPercent } = stretchOf(proof.found, layout, ruler);
  expect(Math.abs(xPercent - 100 * print.stretch.x)).toBeLessThan(0.05);
  expect(Math.abs(yPercent - 100 * print.stretch.y)).toBeLessThan(0.05);
  const spot = spotOf(shapes, layout, 1 + (xPercent + yPercent) / 200)!;
  expect(Math.abs(spot.mm - (25.4 / layout.dpi + print.growthMm))).toBeLessThan(0.01);
});

const bars = (held: Readonly<Record<number, boolean>>): ShapeReading[] => {
  const feature = smallPlate('relief').features.find(({ zone, side }) => zone === 'bars' && side === 'kept')!;
  return Object.entries(held).map(([mm, holds]) => ({
    feature: { ...feature, sizeMm: Number(mm) },
    holds,
    widthMm: null,
  }));
};

test('a size counts only where all larger ones hold; uncertain by half the step below', () => {
  expect(limitsOf(bars({ 0.1: false, 0.2: true, 0.3: false, 0.6: true, 1: true })).minWallMm).toEqual({
    mm: 0.6,
    plusMinusMm: 0.15,
    atEnd: false,
  });
  expect(limitsOf(bars({ 0.1: true, 0.2: true })).minWallMm).toEqual({
    mm: 0.1,
    plusMinusMm: 0.05,
    atEnd: true,
  });
  expect(limitsOf(bars({ 0.1: true, 0.2: false })).minWallMm).toBeNull();
});

test('narrow pools that the scan blurs do not hide how wide one may be', () => {
  const feature = smallPlate('intaglio').features.find(({ zone }) => zone === 'pools')!;
  const pools = (held: readonly boolean[]) =>
    limitsOf(held.map((holds, i) => ({ feature: { ...feature, sizeMm: i + 1 }, holds, widthMm: null })));
  expect(pools([false, true, true, false]).maxPoolMm).toEqual({ mm: 3, plusMinusMm: 0.5, atEnd: false });
  expect(pools([true, true]).maxPoolMm).toEqual({ mm: 2, plusMinusMm: 0, atEnd: true });
  expect(pools([false, false]).maxPoolMm).toBeNull();
});

test.each([2, 12, 30])('wells up to %i mm stay clean, wider ones show the roller', (maxGapMm) => {
  const layout = arrangeTestPlate({
    process: 'relief',
    widthMm: 150,
    heightMm: 100,
    dpi: 300,
    spotMm: null,
    beam: null,
    screen: { kind: 'cell', params: {} },
    capShare: 1,
    passes: [],
  });
  const scan = scanOf(layout, { ppi: 300, marginMm: 10, limits: { maxGapMm }, unevenDensity: 0.2 });
  const proof = readProof(scan, layout);
  const { whiteDensity, solidDensity } = fitCurve([proof]);
  const ends = { white: reflectanceOf(whiteDensity), solid: reflectanceOf(solidDensity) };
  const limit = limitsOf(readShapes(scan, layout, proof, ends)).maxGapMm!;
  expect([limit.mm, limit.atEnd]).toEqual([maxGapMm, maxGapMm === 30]);
});
