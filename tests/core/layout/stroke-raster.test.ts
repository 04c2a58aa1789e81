import fc from 'fast-check';
import { expect, test } from 'vitest';
import { type Bitmap, createBitmap, getBit, setBit } from '../../../src/core/bitmap.ts';
import { drawStrokes } from '../../../src/core/layout/stroke-raster.ts';
import { type Stroke, textStrokes } from '../../../src/core/layout/strokefont.ts';

/** The obvious way: every pixel against every segment, by the nearest point of the segment. */
function slowly(bitmap: Bitmap, strokes: readonly Stroke[], pxPerMm: number, penMm: number): void {
  const radius = (penMm * pxPerMm) / 2;
  for (let y = 0; y < bitmap.heightPx; y++) {
    for (let x = 0; x < bitmap.widthPx; x++) {
      for (const stroke of strokes) {
        for (let i = 1; i < stroke.length; i++) {
          const [a, b] = [stroke[i - 1]!, stroke[i]!].map(({ xMm, yMm }) => [xMm * pxPerMm, yMm * pxPerMm]);
          const [dx, dy] = [b![0]! - a![0]!, b![1]! - a![1]!];
          const along = ((x + 0.5 - a![0]!) * dx + (y + 0.5 - a![1]!) * dy) / (dx * dx + dy * dy || 1);
          const t = Math.max(0, Math.min(1, along));
          const distance = Math.hypot(x + 0.5 - a![0]! - t * dx, y + 0.5 - a![1]! - t * dy);
          if (distance <= radius) setBit(bitmap, x, y, 1);
        }
      }
    }
  }
}

const drawing = (map: Bitmap): string[] =>
  Array.from({ length: map.heightPx }, (_, y) =>
    Array.from({ length: map.widthPx }, (_, x) => (getBit(map, x, y) ? '#' : '.')).join(''),
  );
const line = (...at: [number, number][]): Stroke => at.map(([xMm, yMm]) => ({ xMm, yMm }));

test('a pen 2 px wide leaves a line 2 px wide with round ends', () => {
  const map = createBitmap(9, 4);
  drawStrokes(map, [line([2, 2], [7, 2])], { pxPerMm: 1, penMm: 2 });
  expect(drawing(map)).toEqual(['.........', '.#######.', '.#######.', '.........']);
});

test('a pixel whose centre lies just on the edge of the pen is set', () => {
  const map = createBitmap(5, 5);
  drawStrokes(map, [line([2.5, 2.5], [2.5, 2.5])], { pxPerMm: 1, penMm: 4 });
  expect(drawing(map)).toEqual(['..#..', '.###.', '#####', '.###.', '..#..']);
});

test('what is outside is cut off, what was set stays, padding stays empty', () => {
  const map = createBitmap(11, 3);
  setBit(map, 0, 0, 1);
  drawStrokes(map, [line([9, -5], [9, 9]), line([-9, 1], [-3, 1]), line([30, 1], [40, 1])], {
    pxPerMm: 1,
    penMm: 5,
  });
  expect(drawing(map)).toEqual(['#.....#####', '......#####', '......#####']);
  expect([...map.data].filter((_, i) => i % 2).map((byte) => byte & 0b00011111)).toEqual([0, 0, 0]);
});

const coordinate = fc.double({ min: -3, max: 9, noNaN: true });
const whole = fc.integer({ min: -3, max: 9 });
const stroke = (unit: fc.Arbitrary<number>) => fc.array(fc.tuple(unit, unit), { minLength: 2, maxLength: 4 });

test.each([
  ['anywhere', coordinate, fc.double({ min: 0.2, max: 4, noNaN: true })],
  ['on whole pixels, where edges and centres meet', whole, fc.integer({ min: 1, max: 4 })],
])('equals the slow way: %s', (_, unit, pen) => {
  fc.assert(
    fc.property(fc.array(stroke(unit), { maxLength: 3 }), pen, (lines, penMm) => {
      const strokes = lines.map((points) => line(...points));
      const [fast, slow] = [createBitmap(21, 17), createBitmap(21, 17)];
      drawStrokes(fast, strokes, { pxPerMm: 2, penMm });
      slowly(slow, strokes, 2, penMm);
      expect(drawing(fast)).toEqual(drawing(slow));
    }),
    { seed: 1, numRuns: 400 },
  );
});

test('lettering equals the slow way', () => {
  const strokes = textStrokes('Sg8&', { heightMm: 3, xMm: 0.3, yMm: 3.6 });
  const [fast, slow] = [createBitmap(140, 60), createBitmap(140, 60)];
  drawStrokes(fast, strokes, { pxPerMm: 11.811, penMm: 0.4 });
  slowly(slow, strokes, 11.811, 0.4);
  expect(drawing(fast)).toEqual(drawing(slow));
});

test('a part of a drawing is the same as that part of the whole', () => {
  const strokes = [line([3.3, 2.2], [40.1, 47.9], [12, 30.7])];
  const whole = createBitmap(64, 60);
  drawStrokes(whole, strokes, { pxPerMm: 1.1, penMm: 3.3 });
  const part = createBitmap(64, 20);
  drawStrokes(part, strokes, { pxPerMm: 1.1, penMm: 3.3, fromRow: 17 });
  expect(part.data).toEqual(whole.data.slice(17 * 8, 37 * 8));
});
