import { expect, test } from 'vitest';
import { packingMm, TYPE_HEIGHTS } from '../../src/core/type-high.ts';

const british = TYPE_HEIGHTS[0]!.mm;

test('type is 0.918 inch high in Britain and America', () => {
  // the inch figure of briarpress.org/21710; the inch is 25.4 mm (international yard and pound agreement, 1959)
  expect(british).toBeCloseTo(0.918 * 25.4, 2);
});

test('a stack of 3 mm acrylic, 2 and 18 mm board wants a sheet or two of paper more', () => {
  // maxkohler.com on laser-cut acrylic: such a stack and a paper underlay
  expect(packingMm(british, 3 + 2 + 18)).toBeCloseTo(0.32, 6);
});

test('no packing goes under a block of the height itself, and none can help one that is thicker', () => {
  expect(packingMm(british, 23.32)).toBe(0);
  expect(packingMm(british, 23.335)).toBe(0);
  expect(packingMm(british, 25)).toBeNull();
});
