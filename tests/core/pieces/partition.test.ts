import fc from 'fast-check';
import { expect, test } from 'vitest';
import { spansOf } from '../../../src/core/outlines/spans.ts';
import { bordersOf, loopsAround, OUTSIDE } from '../../../src/core/pieces/borders.ts';
import { partitionOf } from '../../../src/core/pieces/partition.ts';

const canvases = fc
  .record({
    widthPx: fc.integer({ min: 1, max: 12 }),
    heightPx: fc.integer({ min: 1, max: 12 }),
    colours: fc.integer({ min: 1, max: 4 }),
  })
  .chain(({ widthPx, heightPx, colours }) =>
    fc
      .array(fc.integer({ min: 0, max: colours - 1 }), {
        minLength: widthPx * heightPx,
        maxLength: widthPx * heightPx,
      })
      .map((cells) => ({ widthPx, heightPx, data: Uint8Array.from(cells) })),
  );

test('pieces partition the canvas: every cell in exactly one, of its own colour, and all of one piece connected', () => {
  fc.assert(
    fc.property(canvases, (canvas) => {
      const { widthPx, heightPx, data } = canvas;
      const { pieces, pieceAt } = partitionOf(canvas);
      expect(pieces.reduce((sum, { areaPx }) => sum + areaPx, 0)).toBe(widthPx * heightPx);
      expect(new Set(pieces.map(({ id }) => id)).size).toBe(pieces.length);
      for (const [at, piece] of pieceAt.entries()) expect(pieces[piece]!.colour).toBe(data[at]);
      // filling from any cell reaches just its piece
      for (const [piece, { areaPx, inner, box }] of pieces.entries()) {
        const seen = new Set<number>();
        const open = [pieceAt.indexOf(piece)];
        while (open.length > 0) {
          const at = open.pop()!;
          if (seen.has(at)) continue;
          seen.add(at);
          const x = at % widthPx;
          for (const [next, isThere] of [
            [at - 1, x > 0],
            [at + 1, x < widthPx - 1],
            [at - widthPx, at >= widthPx],
            [at + widthPx, at + widthPx < data.length],
          ] as const)
            if (isThere && data[next] === data[at]) open.push(next);
        }
        expect(seen.size).toBe(areaPx);
        const xs = [...seen].map((at) => at % widthPx);
        const ys = [...seen].map((at) => Math.floor(at / widthPx));
        expect(box).toEqual({
          left: Math.min(...xs),
          right: Math.max(...xs) + 1,
          top: Math.min(...ys),
          bottom: Math.max(...ys) + 1,
        });
        // the square said to fit does, and none wider fits anywhere
        const fits = (x: number, y: number, half: number): boolean => {
          for (let dy = -half; dy <= half; dy++)
            for (let dx = -half; dx <= half; dx++) {
              const [atX, atY] = [x + dx, y + dy];
              if (atX < 0 || atY < 0 || atX >= widthPx || atY >= heightPx) return false;
              if (pieceAt[atY * widthPx + atX] !== piece) return false;
            }
          return true;
        };
        const half = (inner.sidePx - 1) / 2;
        expect(fits(inner.xPx, inner.yPx, half)).toBe(true);
        for (const at of seen) expect(fits(at % widthPx, Math.floor(at / widthPx), half + 1)).toBe(false);
      }
    }),
    { numRuns: 60, seed: 9 },
  );
});

test('borders are followed once each, and filling the lines around a piece gives just its cells', () => {
  fc.assert(
    fc.property(canvases, (canvas) => {
      const { widthPx, heightPx } = canvas;
      const partition = partitionOf(canvas);
      const borders = bordersOf(partition);
      const sides = new Set<string>();
      for (const { points, left, right } of borders) {
        expect(left).not.toBe(right);
        for (let i = 1; i < points.length; i++) {
          const [a, b] = [points[i - 1]!, points[i]!];
          expect(Math.abs(a.x - b.x) + Math.abs(a.y - b.y)).toBe(1);
          const side = `${a.x + b.x},${a.y + b.y}`;
          expect(sides.has(side)).toBe(false);
          sides.add(side);
        }
      }
      const filled = new Int32Array(widthPx * heightPx).fill(OUTSIDE);
      for (const piece of partition.pieces.keys()) {
        const spans = spansOf(loopsAround(borders, piece), 1, widthPx, heightPx);
        for (let i = 0; i < spans.length; i += 3)
          for (let x = spans[i + 1]!; x < spans[i + 2]!; x++) {
            expect(filled[spans[i]! * widthPx + x]).toBe(OUTSIDE);
            filled[spans[i]! * widthPx + x] = piece;
          }
      }
      expect(filled).toEqual(partition.pieceAt);
    }),
    { numRuns: 60, seed: 9 },
  );
});
