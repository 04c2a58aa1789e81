import fc from 'fast-check';
import { expect, test } from 'vitest';
import { erodeRows, erosionFor } from '../../../../src/core/screens/grain/erosion.ts';
import { openOrdered } from '../../../../src/core/screens/ordered.ts';
import { hex, placeOf, screenBands } from '../drive.ts';

test.each([true, false])(
  'a pixel stays etched where the one to its right is; ink etched: %s',
  (etchesInk) => {
    const bits = fc.array(fc.boolean(), { minLength: 1, maxLength: 41 });
    const law = fc.property(bits, (ink) => {
      const tile = { widthPx: 8, heightPx: 1, paperTones: new Uint16Array(8) };
      const draw = (of: readonly boolean[], open = openOrdered(tile, of.length)): string =>
        hex(screenBands(() => open, { widthPx: of.length, heightPx: 1, toneAt: (x) => (of[x] ? 65535 : 0) }));
      const slow = ink.map((here, x) => {
        const next = ink[Math.min(ink.length - 1, x + 1)]!;
        return etchesInk ? here && next : here || next;
      });
      expect(draw(ink, erodeRows(openOrdered(tile, ink.length), ink.length, etchesInk))).toBe(draw(slow));
    });
    fc.assert(law, { seed: 1, numRuns: 200 });
  },
);

test('a spot is taken for whole pixels, and not at all where tone means the pixels fired', () => {
  const erosion = (spotPx: number, beam: 'pulse' | 'sweep' = 'pulse', minEtchedPx = 1) =>
    erosionFor(placeOf({ spotPx, beam, minEtchedPx, allowsForSpot: true }));
  const sizes = [1, 1.5, 2, 2.95, 4].map((spotPx) => erosion(spotPx).offsets.length);
  // one or two columns fewer than the square, which the bits give
  expect(sizes).toEqual([1, 1, 2, 3, 3]);
  // marks of four pixels hold as squares of two, and must outlast the erosion; wider ones do
  expect([3.94, 4].map((spotPx) => erosion(spotPx, 'pulse', 10).offsets.length)).toEqual([8, 8]);
  // what a sweep adds is not in the mask's marks
  expect(erosion(2, 'sweep').offsets.length).toBe(2);
  expect(erosion(2).shiftPx).toEqual({ x: -0.5, y: -0.5 });
  expect(erosion(3).shiftPx).toEqual({ x: -1, y: 0 });
  expect(erosion(1.2, 'sweep').shiftPx).toEqual({ x: -0.5, y: 0 });
  expect(erosionFor(placeOf({ spotPx: 4 })).alongRowPx).toBe(0);
});
