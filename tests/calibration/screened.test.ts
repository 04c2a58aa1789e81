import { expect, test } from 'vitest';
import { fitCurve } from '../../src/core/calibration/fit.ts';
import { screens } from '../../src/core/screens/index.ts';
import { arrangeTestPlate } from '../../src/core/testplate/arrange.ts';
import { testPlateInk } from '../../src/core/testplate/draw.ts';
import type { TestPlateLayout } from '../../src/core/testplate/layout.ts';
import { marksOf, samplePlace } from '../../src/core/testplate/samples.ts';
import { proofOf } from './proofs.ts';

/** Pixels of the print along a pixel of the plate. */
const BY = 2;

/** The plate's own bits as ink on paper, without spread. */
function printOf(layout: TestPlateLayout) {
  const def = marksOf(layout.screen.kind)!;
  const { params } = layout.screen;
  const place = samplePlace(layout);
  const bits = testPlateInk(layout, {
    def,
    params,
    place,
    tables: def.build?.(params, place),
    toneTable: null,
  });
  const [width, height] = [bits.widthPx * BY, bits.heightPx * BY];
  const ink = new Float32Array(width * height);
  for (let y = 0; y < height; y++) {
    const row = Math.floor(y / BY) * bits.strideBytes;
    for (let x = 0; x < width; x++) {
      const at = Math.floor(x / BY);
      ink[y * width + x] = (bits.data[row + (at >> 3)]! >> (7 - (at & 7))) & 1;
    }
  }
  return { width, height, pxPerMm: (layout.dpi / 25.4) * BY, ink };
}

test.each([
  ['grain', { grainMm: 0.3 }],
  ['dot', { rulingLpi: 35, angleDeg: 45 }],
] as const)('a real test plate in %s: every tone within a point of what its bits hold', (kind, params) => {
  const layout = arrangeTestPlate({
    process: 'intaglio',
    widthMm: 150,
    heightMm: 100,
    dpi: 300,
    spotMm: null,
    beam: null,
    screen: { kind, params: screens[kind].params.parse(params) },
    capShare: 0.8,
    passes: [],
  });
  const plate = printOf(layout);
  const proof = proofOf(layout, { plate, ppi: 300, angleDeg: -5, marginMm: 10, unevenDensity: 0.2 });
  // Bits, not what was asked for: a screen may miss its tone by itself
  const held = new Map<number, number[]>();
  for (const { zone, share, xMm, yMm, widthMm, heightMm } of layout.patches) {
    if (!['wedge', 'wedge-scrambled', 'solids'].includes(zone)) continue;
    let [sum, count] = [0, 0];
    for (
      let y = Math.round((yMm + 0.2 * heightMm) * plate.pxPerMm);
      y < (yMm + 0.8 * heightMm) * plate.pxPerMm;
      y++
    )
      for (
        let x = Math.round((xMm + 0.2 * widthMm) * plate.pxPerMm);
        x < (xMm + 0.8 * widthMm) * plate.pxPerMm;
        x++
      ) {
        sum += plate.ink[y * plate.width + x]!;
        count++;
      }
    held.set(share, [...(held.get(share) ?? []), sum / count]);
  }
  for (const { share, printed } of fitCurve([proof]).knots) {
    const wanted = held.get(share)!;
    const mean = wanted.reduce((a, b) => a + b, 0) / wanted.length;
    expect(Math.abs(printed - mean) * 100, `at ${share}`).toBeLessThan(1);
  }
});
