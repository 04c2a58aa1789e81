import { describe, expect, test } from 'vitest';
import { printed } from '../../examples/simulated-press.mjs';
import { reflectanceOf } from '../../src/core/calibration/density.ts';
import { edgeReachPx, spotOfReachPx } from '../../src/core/calibration/edge-reach.ts';
import { fitCurve } from '../../src/core/calibration/fit.ts';
import { spotOf } from '../../src/core/calibration/limits.ts';
import { readProof } from '../../src/core/calibration/read-proof.ts';
import { findRuler, stretchOf } from '../../src/core/calibration/ruler.ts';
import { readShapes } from '../../src/core/calibration/shapes.ts';
import { arrangeTestPlate } from '../../src/core/testplate/arrange.ts';
import { testPlateInk } from '../../src/core/testplate/draw.ts';
import type { TestPlateLayout } from '../../src/core/testplate/layout.ts';
import { marksOf, samplePlace } from '../../src/core/testplate/samples.ts';
import { scanOf } from './proofs.ts';

describe('the reach of an etched edge', () => {
  // mean of √(r² − t²) over t = −½ … ½, by the integral of a half circle
  test.each([1.2, 1.5, 2, 4])('level and upright, a pulse of %f px: that of its chords', (spotPx) => {
    const r = spotPx / 2;
    const chords = (Math.sqrt(r * r - 0.25) + 2 * r * r * Math.asin(1 / (2 * r))) / 2;
    expect(edgeReachPx(spotPx, 'x', 'pulse')).toBeCloseTo(chords, 3);
    expect(edgeReachPx(spotPx, 'y', 'pulse')).toBeCloseTo(chords, 3);
    expect(edgeReachPx(spotPx, 'y', 'sweep')).toBeCloseTo(chords + 0.5, 3);
    // along x the beam leaves no scallops: every place of the way is a middle
    expect(edgeReachPx(spotPx, 'x', 'sweep')).toBeGreaterThan(0.995 * r);
  });

  test.each([1.2, 1.6, 2.5])('leaning at 45°, a pulse of %f px: that of the marks themselves', (spotPx) => {
    const [r, fine] = [spotPx / 2, 40];
    // pixels x + y ≤ 0 are fired; places along the perpendicular, over one period of the edge
    let sum = 0;
    for (let i = 0; i < fine; i++) {
      const t = ((i + 0.5) / fine) * Math.SQRT2;
      let most = -2;
      for (let x = -6; x <= 6; x++)
        for (let y = -6; y <= -x; y++) {
          const [along, out] = [(x - y) * Math.SQRT1_2, (x + y) * Math.SQRT1_2];
          const square = r * r - (t - along) ** 2;
          if (square >= 0) most = Math.max(most, out + Math.sqrt(square));
        }
      sum += most;
    }
    expect(edgeReachPx(spotPx, 'diagonal', 'pulse')).toBeCloseTo(sum / fine, 2);
  });

  test('and the spot of a reach is its inverse', () => {
    for (const direction of ['x', 'y', 'diagonal'] as const)
      for (const beam of ['pulse', 'sweep'] as const)
        for (const spotPx of [1.5, 2, 3.7])
          expect(spotOfReachPx(edgeReachPx(spotPx, direction, beam), direction, beam)).toBeCloseTo(spotPx, 2);
  });
});

/** A test plate's own bits, as a press with such marks prints them. */
function pressed(layout: TestPlateLayout, spotMm: number) {
  const { params, kind } = layout.screen;
  const def = marksOf(kind)!;
  const place = samplePlace(layout);
  const ink = testPlateInk(layout, {
    def,
    params,
    place,
    tables: def.build?.(params, place),
    toneTable: null,
  });
  const { widthPx: width, heightPx: height, strideBytes, data } = ink;
  const fired = new Uint8Array(width * height);
  const etched = layout.process === 'intaglio' ? 1 : 0;
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++) {
      const bit = (data[y * strideBytes + (x >> 3)]! >> (7 - (x & 7))) & 1;
      // the plate lies mirrored
      fired[y * width + width - 1 - x] = bit === etched ? 1 : 0;
    }
  return printed({ fired, width, height }, layout, spotMm);
}

test.each([
  ['intaglio', 300, 0.13, 300, { kind: 'cell', params: { cellMm: 0.34 } }],
  // dots of a millimetre: of a patch the marks are found by, few are in sight
  ['relief', 300, 0.13, 300, { kind: 'dot', params: { rulingLpi: 25, angleDeg: 45 } }],
] as const)(
  '%s at %i dpi: a mark of %f mm is read within 10 µm of it, and of what is stated',
  (process, dpi, spotMm, ppi, wanted) => {
    const params = marksOf(wanted.kind)!.params.parse(wanted.params) as Record<string, unknown>;
    const screen = { kind: wanted.kind, params };
    const layout = arrangeTestPlate({
      process,
      widthMm: 150,
      heightMm: 100,
      dpi,
      spotMm: null,
      beam: null,
      screen,
      capShare: 0.8,
      passes: [],
    });
    const plate = pressed(layout, spotMm);
    const scan = scanOf(layout, { plate, ppi, angleDeg: 4, marginMm: 10, rulerMm: 100 });
    const proof = readProof(scan, layout);
    const { whiteDensity, solidDensity } = fitCurve([proof]);
    const ends = { white: reflectanceOf(whiteDensity), solid: reflectanceOf(solidDensity) };
    const { xPercent, yPercent } = stretchOf(proof.found, layout, findRuler(scan, layout, proof.found, 100));
    const spot = spotOf(readShapes(scan, layout, proof, ends), layout, 1 + (xPercent + yPercent) / 200)!;
    const off = Math.abs(spot.mm - spotMm);
    expect(off).toBeLessThan(0.01);
    expect(off).toBeLessThanOrEqual(2 * spot.plusMinusMm);
  },
);
