import { expect, test } from 'vitest';
import { type Bitmap, createBitmap, fillRow } from '../../src/core/bitmap.ts';
import { inkOf } from '../../src/job/inks.ts';
import { registerCautions, registerWords } from '../../src/report/set/register.ts';
import type { Division } from '../../src/run/sets/division.ts';
import { toleranceOf } from '../../src/run/sets/register.ts';

const DPI = 254; // ten pixels to the millimetre
const [W, H] = [100, 60];

/** Ink from one column to before another, over the whole height. */
function stripe(from: number, to: number): Bitmap {
  const map = createBitmap(W, H);
  for (let y = 0; y < H; y++) fillRow(map.data, y * map.strideBytes, from, to, 1);
  return map;
}

const inks = [inkOf('sea', '#3d5a80'), inkOf('key', '#20262e')];
const box = { xPx: 50, yPx: 30, widthPx: W, heightPx: H };
const divided = (areas: Division['areas']): Division =>
  ({ areas, inks, layout: { box } }) as unknown as Division;

test('two plates that overlap by 0.5 mm fit to ± 0.5 mm, and are not cautioned about', () => {
  const register = toleranceOf(divided([stripe(10, 55), stripe(50, 90)]), DPI, 'none')!.facts;
  expect(register.fitsMm).toBeCloseTo(0.5, 9);
  expect(registerWords(register)).toMatch(/^fits to ± 0\.5 mm; further /);
  expect(register.worst).toBeNull();
  expect(registerCautions(register)).toEqual([]);
});

test('two that only touch bare 0.3 mm of paper along the whole border, told with its place on the print', () => {
  const register = toleranceOf(divided([stripe(10, 50), stripe(50, 90)]), DPI, 'none')!.facts;
  expect(register).toMatchObject({ aid: null, trustedMm: 0.3, fitsMm: 0, plate: 'sea' });
  // 0.3 mm × 6 mm, shifted to the left
  expect(register.slivers[0]).toMatchObject({ bareMm2: 1.8, way: 'left' });
  // to either side of the border, which lies 5 mm + 5 mm from the left
  expect(register.worst).toEqual({ xMm: 9.7, yMm: 3, widthMm: 0.6, heightMm: 6, areaMm2: 3.6 });
  const [tight] = registerCautions(register);
  expect(tight).toMatchObject({ code: 'register-tight', severity: 'warn', value: 0, limit: 0.3 });
});

test('nested stages bare nothing, and plates of tones have no borders to fit', () => {
  const nested = toleranceOf(divided([stripe(0, W), stripe(20, 80)]), DPI, 'none')!.facts;
  expect([nested.fitsMm, nested.plate]).toEqual([null, null]);
  expect(registerWords(nested)).toContain('shows no paper');
  expect(toleranceOf(divided(null), DPI, 'none')).toBeNull();
});
