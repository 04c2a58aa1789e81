import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { type Bitmap, countBits, getBit } from '../../../src/core/bitmap.ts';
import { type Erosion, eachEroded } from '../../../src/core/clearing/erode.ts';
import { blankMask, drawMask, type MaskSize, nestMasks } from '../../../src/core/clearing/mask.ts';
import { fromTest } from '../hold/slow.ts';
import { apart, frame, grounds, pixels } from './slow.ts';

const masked = (etch: Bitmap, size: MaskSize) => {
  const mask = blankMask(etch, size.ratio);
  drawMask(etch, size, mask);
  return mask;
};

/** Lengths that floating point holds exactly, so that both sides of a comparison round alike. */
const sixteenths = (min: number, max: number) =>
  fc.integer({ min: min * 16, max: max * 16 }).map((n) => n / 16);

const sizes = fc.record({
  ratio: fc.integer({ min: 1, max: 4 }),
  insetPx: sixteenths(0, 7),
  gapsOverPx: sixteenths(1, 30),
});

test('an erosion leaves what the slow version leaves, whatever counts as distance and as outside', () => {
  fc.assert(
    fc.property(
      grounds(40),
      fc.constantFrom<Erosion['keep'][]>(0, 1),
      sixteenths(0, 12),
      fc.constantFrom<Erosion['between'][]>('edges', 'middles'),
      fc.constantFrom<Erosion['outside'][]>('wall', 'open'),
      (map, keep, radiusPx, between, outside) => {
        const others = [...pixels(map, keep === 1 ? 0 : 1), ...(outside === 'wall' ? frame(map) : [])];
        eachEroded(map, { keep, radiusPx, between, outside }, (row, y) => {
          const slow = Array.from(row, (_, x) =>
            others.every(([ox, oy]) => (ox !== x || oy !== y) && apart(ox - x, oy - y, between) >= radiusPx)
              ? 1
              : 0,
          );
          expect([...row]).toEqual(slow);
        });
      },
    ),
    { seed: 5, numRuns: 60 },
  );
});

test('blocks of rows hide nothing: a wall far below is seen from above', () => {
  // one kept pixel beyond the first block of 128 rows, and a radius that reaches back into it
  const map = fromTest(9, 300, (x, y) => !(x === 4 && y === 140));
  const left: number[] = [];
  eachEroded(map, { keep: 1, radiusPx: 30, between: 'middles', outside: 'open' }, (row, y) => {
    if (row[4] === 0) left.push(y);
  });
  expect([left[0], left.at(-1), left.length]).toEqual([111, 169, 59]);
});

describe('a clearing plate', () => {
  test('laid over its plate lies on etched pixels alone, as far from every kept one as its inset', () => {
    fc.assert(
      fc.property(grounds(32), sizes, (etch, size) => {
        const kept = pixels(etch, 0);
        for (const [cellX, cellY] of pixels(masked(etch, size), 1))
          for (let dy = 0; dy < size.ratio; dy++)
            for (let dx = 0; dx < size.ratio; dx++) {
              const [x, y] = [cellX * size.ratio + dx, cellY * size.ratio + dy];
              if (x >= etch.widthPx || y >= etch.heightPx) continue;
              expect(getBit(etch, x, y)).toBe(1);
              const nearest = Math.min(...kept.map(([kx, ky]) => apart(kx - x, ky - y, 'edges')));
              expect(nearest).toBeGreaterThanOrEqual(size.insetPx);
            }
      }),
      { seed: 6, numRuns: 60 },
    );
  });

  test('where every gap is wide enough is exactly the etched ground, drawn in by the inset and reduced to whole pixels', () => {
    fc.assert(
      fc.property(grounds(32), sizes, (etch, size) => {
        const mask = masked(etch, { ...size, gapsOverPx: 0 });
        const kept = pixels(etch, 0);
        const under = (cell: number): number[] =>
          Array.from({ length: size.ratio }, (_, i) => cell * size.ratio + i);
        for (let cellY = 0; cellY < mask.heightPx; cellY++)
          for (let cellX = 0; cellX < mask.widthPx; cellX++) {
            const isClear = under(cellY).every((y) =>
              under(cellX).every((x) =>
                kept.every(
                  ([kx, ky]) => (kx !== x || ky !== y) && apart(kx - x, ky - y, 'edges') >= size.insetPx,
                ),
              ),
            );
            expect(getBit(mask, cellX, cellY)).toBe(isClear ? 1 : 0);
          }
      }),
      { seed: 11, numRuns: 60 },
    );
  });

  test('lies in register with it: the same origin, whole pixels, less than one of its own narrower and lower', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 4, max: 90 }),
        fc.integer({ min: 4, max: 90 }),
        fc.integer({ min: 1, max: 4 }),
        (w, h, ratio) => {
          const mask = masked(
            fromTest(w, h, () => true),
            { ratio, insetPx: 0, gapsOverPx: 1 },
          );
          expect(w - mask.widthPx * ratio).toBeGreaterThanOrEqual(0);
          expect(w - mask.widthPx * ratio).toBeLessThan(ratio);
          expect(h - mask.heightPx * ratio).toBeLessThan(ratio);
          // bare ground is cleared up to the edge of the plate: that is no wall
          expect(countBits(mask.data)).toBe(mask.widthPx * mask.heightPx);
        },
      ),
      { seed: 7, numRuns: 60 },
    );
  });

  test('covers every circle wider than asked for, less the inset', () => {
    fc.assert(
      fc.property(grounds(32), sizes, (etch, size) => {
        const mask = masked(etch, size);
        const kept = pixels(etch, 0);
        const edges = [...kept, ...frame(etch)];
        const { ratio, insetPx, gapsOverPx } = size;
        for (const [cx, cy] of pixels(etch, 1)) {
          // a circle of whole pixels around the middle of a pixel: up to the nearest side of the nearest other one
          const radius = Math.min(
            ...edges.map(([x, y]) =>
              Math.hypot(Math.max(0, Math.abs(x - cx) - 0.5), Math.max(0, Math.abs(y - cy) - 0.5)),
            ),
          );
          if (2 * radius <= gapsOverPx) continue;
          const [mx, my] = [Math.floor(cx / ratio), Math.floor(cy / ratio)];
          // whole cells, far enough from what stands
          if (mx >= mask.widthPx || my >= mask.heightPx) continue;
          if (radius < insetPx + Math.SQRT2 * ratio) continue;
          expect(getBit(mask, mx, my)).toBe(1);
        }
      }),
      { seed: 8, numRuns: 60 },
    );
  });

  test('leaves narrow gaps alone: none is fired that is four cells narrower than asked for', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 40 }), sizes, (gapPx, size) => {
        const narrow = gapPx <= size.gapsOverPx - 4 * size.ratio;
        const etch = fromTest(90, 60, (x) => x >= 20 && x < 20 + gapPx);
        const fired = countBits(masked(etch, size).data);
        if (narrow) expect(fired).toBe(0);
        if (gapPx > Math.max(size.gapsOverPx, 2 * size.insetPx + 2 * size.ratio))
          expect(fired).toBeGreaterThan(0);
      }),
      { seed: 9, numRuns: 200 },
    );
  });

  test('lies within the one before it', () => {
    fc.assert(
      fc.property(grounds(32), sizes, sixteenths(0, 9), (etch, size, wider) => {
        const masks = [size, { ...size, insetPx: size.insetPx * 2, gapsOverPx: size.gapsOverPx + wider }].map(
          (one) => masked(etch, one),
        );
        const alone = countBits(masks[1]!.data);
        nestMasks(masks);
        for (const [x, y] of pixels(masks[1]!, 1)) expect(getBit(masks[0]!, x, y)).toBe(1);
        // nesting is a matter of rounding: it takes next to nothing
        expect(alone - countBits(masks[1]!.data)).toBeLessThanOrEqual(0.02 * alone + 2);
      }),
      { seed: 10, numRuns: 60 },
    );
  });
});
