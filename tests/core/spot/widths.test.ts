import { expect, test } from 'vitest';
import { createBitmap, setBit } from '../../../src/core/bitmap.ts';
import { openSpot } from '../../../src/core/spot/coverage.ts';
import { sensibleDpi } from '../../../src/core/spot/dpi.ts';
import type { Beam } from '../../../src/core/spot/regions.ts';
import { etchedWidthMm, keptWidthMm, spreadMm } from '../../../src/core/spot/widths.ts';

// geometry: (n − 1) · pitch + spot fired, (n + 1) · pitch − spot kept
test.each([
  [0.1, 500, [0.1, 0.1508, 0.2016, 0.2524], [0.0016, 0.0524, 0.1032, 0.154]],
  [0.15, 500, [0.15, 0.2008, 0.2516], [-0.0484, 0.0024, 0.0532]],
  [0.1, 300, [0.1, 0.184667, 0.269333], [0.069333, 0.154, 0.238667]],
  [0.05, 1000, [0.05, 0.0754, 0.1008], [0.0008, 0.0262, 0.0516]],
])('a spot of %s mm at %s dpi', (spotMm, dpi, etched, kept) => {
  const pitchMm = 25.4 / dpi;
  const { x, y } = spreadMm({ spotMm, pitchMm, beam: 'pulse' });
  expect(x).toBe(y);
  etched.forEach((mm, i) => {
    expect(etchedWidthMm(i + 1, pitchMm, x)).toBeCloseTo(mm, 6);
  });
  kept.forEach((mm, i) => {
    expect(keptWidthMm(i + 1, pitchMm, x)).toBeCloseTo(mm, 6);
  });
});

test('a beam that moves while it is on widens marks by a pitch along x only', () => {
  const pulse = spreadMm({ spotMm: 0.1, pitchMm: 0.05, beam: 'pulse' });
  const sweep = spreadMm({ spotMm: 0.1, pitchMm: 0.05, beam: 'sweep' });
  expect(sweep.x - pulse.x).toBeCloseTo(0.05, 12);
  expect(sweep.y).toBe(pulse.y);
});

/** Coverage of a pattern in the middle 10 × 10 pixels of a large field. */
function middle(spotPx: number, beam: Beam, fires: (x: number, y: number) => boolean): number {
  const map = createBitmap(40, 20);
  for (let y = 0; y < 20; y++) for (let x = 0; x < 40; x++) setBit(map, x, y, fires(x, y) ? 1 : 0);
  const wide = openSpot({ spotPx, beam })(map, 5, 15);
  const narrow = createBitmap(20, 20);
  for (let y = 0; y < 20; y++) for (let x = 0; x < 20; x++) setBit(narrow, x, y, fires(x, y) ? 1 : 0);
  return (wide - openSpot({ spotPx, beam })(narrow, 5, 15)) / 200;
}

test.each<Beam>(['pulse', 'sweep'])(
  'the resolutions named for a %s are those at which patterns close',
  (beam) => {
    const found = sensibleDpi(0.1, beam);
    const ratio = (dpi: number): number => 0.1 / (25.4 / dpi);
    const checker = (x: number, y: number): boolean => (x + y) % 2 === 0;
    expect(ratio(found.dpi)).toBeCloseTo(1, 6);
    expect(middle(ratio(found.solidFromDpi), beam, () => true)).toBeCloseTo(1, 6);
    expect(middle(ratio(found.solidFromDpi * 0.97), beam, () => true)).toBeLessThan(0.9999);
    expect(middle(ratio(found.mergedFromDpi), beam, checker)).toBeCloseTo(1, 6);
    expect(middle(ratio(found.mergedFromDpi * 0.97), beam, checker)).toBeLessThan(0.9999);
    expect(found.reason).toContain('254 dpi');
  },
);
