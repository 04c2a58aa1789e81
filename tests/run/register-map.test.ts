import { expect, test } from 'vitest';
import { type Bitmap, createBitmap, fillRow } from '../../src/core/bitmap.ts';
import { rowsOf } from '../../src/core/proof/proof.ts';
import { inkOf } from '../../src/job/inks.ts';
import type { Division } from '../../src/run/sets/division.ts';
import { toleranceOf } from '../../src/run/sets/register.ts';
import { makeRegisterMap } from '../../src/run/sets/register-map.ts';

const DPI = 254; // ten pixels to the millimetre, and one of the map for each
const [W, H] = [1300, 700];
/** M. Okabe and K. Ito, Color Universal Design (2008): vermillion and blue. */
const [VERMILLION, BLUE] = [0xd55e00, 0x0072b2];

function stripe(from: number, to: number): Bitmap {
  const map = createBitmap(W, H);
  for (let y = 200; y < 500; y++) fillRow(map.data, y * map.strideBytes, from, to, 1);
  return map;
}

function mapOf(...areas: Bitmap[]) {
  const inks = [inkOf('sea', '#3d5a80'), inkOf('key', '#20262e')];
  const layout = { box: { xPx: 0, yPx: 0, widthPx: W, heightPx: H } };
  const division = { areas, inks, layout } as unknown as Division;
  const judged = toleranceOf(division, DPI, 'none')!;
  const map = makeRegisterMap(division, judged, 0.1, DPI);
  const bytes = rowsOf(map, 0, map.heightPx);
  const at = (x: number, y: number): number => {
    const i = 3 * (y * map.widthPx + x);
    return (bytes[i]! << 16) | (bytes[i + 1]! << 8) | bytes[i + 2]!;
  };
  // the print stands in the middle, its margin of 7 mm above it
  const left = Math.round((map.widthPx - W) / 2);
  return { map, at, print: (x: number, y: number) => at(left + x, 70 + y), colours: new Set(pixels(bytes)) };
}

function* pixels(bytes: Uint8Array): Generator<number> {
  for (let i = 0; i < bytes.length; i += 3) yield (bytes[i]! << 16) | (bytes[i + 1]! << 8) | bytes[i + 2]!;
}

test('two areas that only touch: black along their border, each plate framed in a colour of its own', () => {
  const { print, colours } = mapOf(stripe(300, 600), stripe(600, 900));
  // 0.3 mm to either side of the border
  const dark = (code: number): boolean => (code & 0xff) < 90;
  let black = 0;
  for (let y = 220; y < 480; y++) if (dark(print(598, y)) || dark(print(601, y))) black++;
  expect(black).toBeGreaterThan(200);
  for (let y = 220; y < 480; y++) expect(dark(print(450, y))).toBe(false);
  expect(colours.has(VERMILLION)).toBe(true);
  expect(colours.has(BLUE)).toBe(true);
});

test('areas that overlap far enough: nothing is framed, and no word of faults', () => {
  const { print, colours } = mapOf(stripe(300, 650), stripe(600, 900));
  for (let x = 310; x < 890; x++) expect(print(x, 350) & 0xff).toBeGreaterThan(120);
  expect(colours.has(VERMILLION)).toBe(false);
});
