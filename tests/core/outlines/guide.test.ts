import fc from 'fast-check';
import { expect, test } from 'vitest';
import { createBitmap, getBit, setBit } from '../../../src/core/bitmap.ts';
import { countInSpans, pixelsIn, spansOf } from '../../../src/core/outlines/spans.ts';
import { finishRows } from '../../../src/core/plate.ts';
import { isInside } from './shapes.ts';

const sides = fc.tuple(fc.integer({ min: 1, max: 40 }), fc.integer({ min: 1, max: 12 }));
const triangles = fc.array(
  fc.record({
    x: fc.double({ min: -5, max: 45, noNaN: true }),
    y: fc.double({ min: -5, max: 15, noNaN: true }),
  }),
  { minLength: 3, maxLength: 6 },
);

test('spans are the pixels whose middles lie inside, and pixels in them are counted as they are looked at', () => {
  fc.assert(
    fc.property(
      sides,
      triangles,
      fc.array(fc.boolean(), { minLength: 480, maxLength: 480 }),
      fc.boolean(),
      ([widthPx, heightPx], loop, bits, mirrored) => {
        const map = createBitmap(widthPx, heightPx);
        const spans = spansOf([loop], 1, widthPx, heightPx);
        let [inside, set] = [0, 0];
        for (let y = 0; y < heightPx; y++)
          for (let x = 0; x < widthPx; x++) {
            const seenAt = mirrored ? widthPx - 1 - x : x;
            setBit(map, seenAt, y, bits[y * 40 + x] ? 1 : 0);
            if (!isInside(loop, { x: x + 0.5, y: y + 0.5 })) continue;
            inside++;
            if (bits[y * 40 + x]) set++;
          }
        expect(pixelsIn(spans)).toBe(inside);
        expect(countInSpans(map, spans, 1, mirrored)).toBe(set);
        expect(countInSpans(map, spans, 0, mirrored)).toBe(inside - set);
      },
    ),
    { numRuns: 200, seed: 3 },
  );
});

test.each([
  ['kept', 1],
  ['etched', 0],
] as const)(
  'on a border that is %s the guide is %d, mirrored with the plate, and nothing else changes',
  (border, bit) => {
    const [widthPx, heightPx] = [21, 6];
    const box = { xPx: 5, yPx: 2, widthPx: 8, heightPx: 2 };
    const guide = Int32Array.from([1, 3, 9, 2, 0, 2, 2, 6, 7, 5, 20, 21]);
    for (const mirror of [false, true]) {
      const [plain, guided] = [createBitmap(widthPx, heightPx), createBitmap(widthPx, heightPx)];
      const finish = { etches: 'ink', border, box, mirror } as const;
      finishRows(plain, finish, 0, heightPx);
      finishRows(guided, { ...finish, guide }, 0, heightPx);
      const isGuide = (x: number, y: number): boolean =>
        [0, 3, 6, 9].some((i) => guide[i] === y && x >= guide[i + 1]! && x < guide[i + 2]!);
      for (let y = 0; y < heightPx; y++)
        for (let x = 0; x < widthPx; x++) {
          const at = mirror ? widthPx - 1 - x : x;
          expect(getBit(guided, at, y)).toBe(isGuide(x, y) ? bit : getBit(plain, at, y));
        }
    }
  },
);
