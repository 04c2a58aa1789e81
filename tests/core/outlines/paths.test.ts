import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { AnyOutlineDef } from '../../../src/core/outlines/contract.ts';
import { outlines } from '../../../src/core/outlines/index.ts';
import { measurePaths } from '../../../src/core/outlines/measure.ts';
import { mirroredPaths, movedPaths, outlinePaths } from '../../../src/core/outlines/paths.ts';
import { straightened } from '../../../src/core/outlines/straighten.ts';
import { trace } from '../../../src/core/outlines/trace.ts';
import { distanceToLoop, drawn, hausdorffMm, isInside, sampled, star, starAreaMm2 } from './shapes.ts';

const box = { xMm: 0, yMm: 0, widthMm: 120, heightMm: 80 };
const wish = { kerfMm: 0.2, toleranceMm: 0.1, traced: null };
const half = wish.kerfMm / 2;

test.each(Object.entries(outlines))('%s is described, and known by its own name', (name, def) => {
  expect(def.kind).toBe(name);
  expect(def.summary).toMatch(/^\p{Ll}.{8,}[^.]$/u);
  expect((def as unknown as AnyOutlineDef).params.safeParse({}).success).toBe(true);
});

test('a rectangle is grown by exactly half the kerf, in four straight lines', () => {
  const { paths } = outlinePaths('rectangle', { outlineInsetMm: 0 }, box, wish);
  const [path] = paths;
  expect(path!.segments.map(({ c1, to }) => [c1, to.x, to.y]).sort()).toEqual(
    [
      [undefined, 120 + half, 80 + half],
      [undefined, -half, 80 + half],
      [undefined, -half, -half],
      [undefined, 120 + half, -half],
    ].sort(),
  );
  expect(measurePaths(paths).areaMm2).toBeCloseTo(120.2 * 80.2, 6);
});

describe('rounded corners', () => {
  const { paths } = outlinePaths('rounded', { outlineInsetMm: 2, outlineRadiusMm: 5 }, box, wish);
  const { areaMm2, lengthMm } = measurePaths(paths);
  const r = 5 + half;

  test('have the area and length of their closed form', () => {
    expect(areaMm2).toBeCloseTo(116.2 * 76.2 - (4 - Math.PI) * r * r, 1);
    expect(lengthMm).toBeCloseTo(2 * (116.2 + 76.2) - (8 - 2 * Math.PI) * r, 1);
  });

  test('leave the sides straight, and exactly where they belong', () => {
    const straight = paths[0]!.segments.filter(({ c1 }) => !c1);
    expect(straight.length).toBe(4);
    for (const { to } of straight)
      expect(
        Math.min(Math.abs(to.x - 1.9), Math.abs(to.x - 118.1), Math.abs(to.y - 1.9), Math.abs(to.y - 78.1)),
      ).toBeLessThan(1e-9);
  });

  test('that do not fit are refused with the numbers', () => {
    expect(() => outlinePaths('rounded', { outlineInsetMm: 0, outlineRadiusMm: 41 }, box, wish)).toThrow(
      /41 mm do not fit 120 × 80 mm/,
    );
  });
});

describe('an ellipse', () => {
  const { paths } = outlinePaths('ellipse', { outlineInsetMm: 0 }, box, wish);
  const [a, b] = [60, 40];
  // the curve parallel to an ellipse, by its normal; its area is that of the ellipse, its length times half the kerf, and a disc (Steiner)
  const parallel = Array.from({ length: 4000 }, (_, i) => {
    const t = (i * 2 * Math.PI) / 4000;
    const [nx, ny] = [b * Math.cos(t), a * Math.sin(t)];
    const n = Math.hypot(nx, ny);
    return { x: 60 + a * Math.cos(t) + (half * nx) / n, y: 40 + b * Math.sin(t) + (half * ny) / n };
  });
  // S. Ramanujan 1914: within 1e-5 of the length here
  const h = ((a - b) / (a + b)) ** 2;
  const lengthMm = Math.PI * (a + b) * (1 + (3 * h) / (10 + Math.sqrt(4 - 3 * h)));

  test('has the area of its closed form within 0.5 % (0.05 % measured)', () => {
    const truth = Math.PI * a * b + lengthMm * half + Math.PI * half * half;
    expect(Math.abs(measurePaths(paths).areaMm2 / truth - 1)).toBeLessThan(0.0005);
  });

  test('lies within the tolerance of the true line, both ways', () => {
    const line = sampled(paths[0]!, 20);
    expect(Math.max(...line.map((point) => distanceToLoop(point, parallel)))).toBeLessThan(wish.toleranceMm);
    expect(Math.max(...parallel.map((point) => distanceToLoop(point, line)))).toBeLessThan(wish.toleranceMm);
  });

  test('comes nearer with a finer tolerance', () => {
    const fine = outlinePaths('ellipse', { outlineInsetMm: 0 }, box, { ...wish, toleranceMm: 0.01 });
    const line = sampled(fine.paths[0]!, 20);
    expect(Math.max(...line.map((point) => distanceToLoop(point, parallel)))).toBeLessThan(0.01);
    expect(fine.paths[0]!.segments.length).toBeGreaterThan(paths[0]!.segments.length);
  });
});

describe('a star with a hole, traced from a picture', () => {
  const truth = star(5, 22, 10, 24, 24);
  const inHole = ({ x, y }: { x: number; y: number }) => Math.hypot(x - 24, y - 24) < 4;
  const stepMm = 0.1;
  const grid = drawn(480, 480, stepMm, 4, (point) => isInside(truth, point) && !inHole(point));
  const traced = {
    loops: trace(grid).map((loop) =>
      straightened(
        loop.map(({ x, y }) => ({ x: x * stepMm, y: y * stepMm })),
        stepMm,
      ),
    ),
    stepMm,
    within: { xMm: 0, yMm: 0, widthMm: 48, heightMm: 48 },
  };
  const square = { ...box, widthMm: 48, heightMm: 48 };
  const sharp = { outlineRimMm: 0, minRadiusMm: 0, minBridgeMm: 2 };

  test('has its area within 0.5 %, and lies within the tolerance', () => {
    const { paths, pieces, holes } = outlinePaths('shape', sharp, square, { ...wish, kerfMm: 0, traced });
    expect([pieces, holes]).toEqual([1, 1]);
    const area = starAreaMm2(5, 22, 10) - Math.PI * 16;
    expect(Math.abs(measurePaths(paths).areaMm2 / area - 1)).toBeLessThan(0.005);
    const outer = paths.find(({ isHole }) => !isHole)!;
    expect(hausdorffMm(sampled(outer), truth)).toBeLessThan(wish.toleranceMm);
    const hole = sampled(paths.find(({ isHole }) => isHole)!);
    for (const { x, y } of hole)
      expect(Math.abs(Math.hypot(x - 24, y - 24) - 4)).toBeLessThan(wish.toleranceMm);
  });

  test('is cut half a kerf outside its edges, and inside its hole', () => {
    const { paths } = outlinePaths('shape', sharp, square, { ...wish, traced });
    const line = sampled(paths.find(({ isHole }) => !isHole)!);
    for (const [i, a] of truth.entries()) {
      const b = truth[(i + 1) % truth.length]!;
      const middle = { x: (a.x + b.x) / 2, y: (a.y + b.y) / 2 };
      // 1 µm of it is the picture's greys
      expect(Math.abs(distanceToLoop(middle, line) - half)).toBeLessThan(0.002);
      expect(isInside(line, middle)).toBe(true);
    }
    const hole = measurePaths([{ ...paths.find(({ isHole }) => isHole)!, isHole: false }]);
    expect(Math.sqrt(hole.areaMm2 / Math.PI)).toBeCloseTo(4 - half, 1);
  });

  test('outside what is shown of the picture it is cut off straight', () => {
    const within = { xMm: 0, yMm: 0, widthMm: 24, heightMm: 48 };
    const { paths } = outlinePaths('shape', sharp, square, {
      ...wish,
      kerfMm: 0,
      traced: { ...traced, within },
    });
    const { areaMm2, box: around } = measurePaths(paths);
    expect(around.right).toBeCloseTo(24, 3);
    expect(Math.abs(areaMm2 / ((starAreaMm2(5, 22, 10) - Math.PI * 16) / 2) - 1)).toBeLessThan(0.005);
  });
});

test('every line around a polygon is half a kerf from it, within the tolerance, whatever its shape', () => {
  const polygons = fc
    .array(fc.double({ min: 6, max: 30, noNaN: true }), { minLength: 3, maxLength: 12 })
    .map((radii) =>
      radii.map((r, i) => {
        const angle = (i * 2 * Math.PI) / radii.length;
        return { x: 40 + r * Math.cos(angle), y: 40 + r * Math.sin(angle) };
      }),
    );
  const kerfs = fc.double({ min: 0, max: 1, noNaN: true });
  const tolerances = fc.double({ min: 0.02, max: 0.3, noNaN: true });
  fc.assert(
    fc.property(polygons, kerfs, tolerances, (polygon, kerfMm, toleranceMm) => {
      const within = { xMm: 0, yMm: 0, widthMm: 80, heightMm: 80 };
      const { paths } = outlinePaths('shape', { outlineRimMm: 0, minRadiusMm: 0, minBridgeMm: 0 }, within, {
        kerfMm,
        toleranceMm,
        traced: { loops: [polygon], stepMm: 0.05, within },
      });
      expect(paths.length).toBe(1);
      for (const point of sampled(paths[0]!, 12))
        expect(Math.abs(distanceToLoop(point, polygon) - kerfMm / 2)).toBeLessThan(toleranceMm);
    }),
    { numRuns: 60, seed: 11 },
  );
});

test('moving and mirroring change nothing but places', () => {
  const { paths } = outlinePaths('rounded', { outlineInsetMm: 3, outlineRadiusMm: 6 }, box, wish);
  const before = measurePaths(paths);
  const after = measurePaths(movedPaths(mirroredPaths(paths, 200), 7, -3));
  expect(after.areaMm2).toBeCloseTo(before.areaMm2, 9);
  expect(after.box.left).toBeCloseTo(200 - before.box.right + 7, 9);
  expect(after.box.top).toBeCloseTo(before.box.top - 3, 9);
  expect(mirroredPaths(mirroredPaths(paths, 200), 200)[0]!.start.x).toBeCloseTo(paths[0]!.start.x, 9);
});
