import fc from 'fast-check';
import { expect, test } from 'vitest';
import { createBitmap, getBit, setBit } from '../../../../src/core/bitmap.ts';
import { erodeBits, erosionFor, isErodedDown } from '../../../../src/core/screens/grain/erosion.ts';
import { grain } from '../../../../src/core/screens/grain.ts';
import { openOrdered, type ThresholdTile } from '../../../../src/core/screens/ordered.ts';
import { flat, hex, placeOf, screenBands, screened, settled, tablesFor } from '../drive.ts';

test.each([true, false])(
  'a pixel stays etched where one or two to its right are, and in some of four bytes those below; ink etched: %s',
  (etchesInk) => {
    const bits = fc.array(fc.array(fc.boolean(), { minLength: 75, maxLength: 75 }), {
      minLength: 1,
      maxLength: 6,
    });
    const law = fc.property(
      bits,
      fc.integer({ min: 1, max: 75 }),
      fc.constantFrom(1, 2),
      fc.constantFrom(0, 1, 2, 3),
      (ink, widthPx, alongRowPx, downBytes) => {
        const delayRows = downBytes > 0 ? 1 : 0;
        const tile = { widthPx: 8, heightPx: 1, paperTones: new Uint16Array(8) };
        const heightPx = ink.length;
        const at = (x: number, y: number): boolean =>
          ink[Math.min(heightPx - 1, y)]![Math.min(widthPx - 1, x)]!;
        const toneAt = (x: number, y: number): number => (at(x, y) ? 65535 : 0);
        const eroded = erodeBits(openOrdered(tile, widthPx), widthPx, etchesInk, {
          alongRowPx,
          delayRows,
          downBytes,
        });
        const drawn = screenBands(() => eroded, { widthPx, heightPx, toneAt }, { delayRows });
        const isEtched = (x: number, y: number): boolean => at(x, y) === etchesInk;
        const isLeft = (x: number, y: number): boolean =>
          isEtched(x, y) && (x % 32 < 32 - 8 * downBytes || isEtched(x, y + 1));
        const slow = createBitmap(widthPx, heightPx);
        for (let y = 0; y < heightPx; y++)
          for (let x = 0; x < widthPx; x++) {
            let all = true;
            for (let step = 0; step <= alongRowPx; step++) all &&= isLeft(Math.min(widthPx - 1, x + step), y);
            setBit(slow, x, y, all === etchesInk ? 1 : 0);
          }
        expect(hex(drawn)).toBe(hex(slow));
      },
    );
    fc.assert(law, { seed: 1, numRuns: 200 });
  },
);

test.each([2, 2.95, 4])('flats come out as eroded by the whole square, at a spot of %d px', (spotPx) => {
  const place = placeOf({
    spotPx,
    beam: 'pulse',
    minEtchedPx: spotPx,
    minKeptPx: spotPx,
    allowsForSpot: true,
  });
  const raw = { ...place, allowsForSpot: false };
  const { paperTones, widthPx: side } = tablesFor(grain, settled(grain, {}, raw), raw) as ThresholdTile;
  const { offsets, alongRowPx } = erosionFor(place, 4 * spotPx);
  for (const tone of [9000, 30000, 52000]) {
    const drawn = screened(grain, flat(tone, 200), {}, {}, place);
    for (let y = 0; y < 190; y++)
      for (let x = 0; x < 190; x++) {
        let all = true;
        for (const { dx, dy } of offsets)
          for (let step = 0; step <= alongRowPx && all; step++)
            all = tone > paperTones[((y + dy) & (side - 1)) * side + ((x + dx + step) & (side - 1))]!;
        if ((getBit(drawn, x, y) === 1) !== all) expect.fail(`${x}, ${y} at ${tone}`);
      }
  }
});

test('the columns eroded downwards come again with the smallest tile', () => {
  for (const bytes of [0, 1, 3]) {
    const of = Array.from({ length: 64 }, (_, x) => isErodedDown(x, bytes));
    expect(of.slice(32)).toEqual(of.slice(0, 32));
    expect(of.filter(Boolean).length).toBe(16 * bytes);
  }
});

test('a spot is taken for whole pixels, and not at all where tone means the pixels fired', () => {
  const erosion = (spotPx: number, beam: 'pulse' | 'sweep' = 'pulse', minEtchedPx = 1, periodPx = 40) =>
    erosionFor(placeOf({ spotPx, beam, minEtchedPx, allowsForSpot: true }), periodPx);
  const sizes = [1, 1.5, 2, 2.45, 2.5, 2.95, 4].map((spotPx) => erosion(spotPx).offsets.length);
  // one or two columns fewer than the square, which the bits give; lands of three pixels, for marks of two grown to four, hold below 2.5
  expect(sizes).toEqual([1, 1, 2, 2, 3, 3, 3]);
  // marks of four pixels hold as squares of two, and must outlast the erosion; wider ones do
  expect([3.94, 4].map((spotPx) => erosion(spotPx, 'pulse', 10).offsets.length)).toEqual([8, 8]);
  // a sweep's marks have a column more, which is eroded in the mask
  expect(erosion(2, 'sweep').offsets.length).toBe(4);
  expect([1, 1.2, 2, 3].map((px) => erosion(px, 'sweep').alongRowPx)).toEqual([0, 1, 1, 2]);
  // in a quarter of the columns the last row is eroded on the bits, which moves marks the other way
  expect(erosion(2).shiftPx).toEqual({ x: -0.5, y: -0.375 });
  expect(erosion(3).shiftPx).toEqual({ x: -1, y: -0.125 });
  // what the spot is wider than that is taken off more of them, up to the widest spot measured
  expect([2, 2.1, 2.2, 2.3, 2.45, 2.5, 2.95, 3.5].map((px) => erosion(px).downBytes)).toEqual([
    1, 1, 2, 2, 3, 1, 1, 1,
  ]);
  expect(erosion(2.45).shiftPx).toEqual({ x: -0.5, y: -0.125 });
  // not of the finest grains
  expect(erosion(2, 'pulse', 1, 5)).toMatchObject({ delayRows: 0, shiftPx: { x: -0.5, y: -0.5 } });
  expect(erosion(1.2, 'sweep').shiftPx).toEqual({ x: -0.5, y: 0 });
  expect(erosionFor(placeOf({ spotPx: 4 }), 16).alongRowPx).toBe(0);
});
