import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Bitmap } from '../../../src/core/bitmap.ts';
import { findThin, type ThinSpot } from '../../../src/core/hold/thin.ts';
import type { PlateSide } from '../../../src/core/hold/words.ts';
import { floods, fromTest, onSide, thinPixels } from './slow.ts';

function fast(map: Bitmap, side: PlateSide, widthPx: number): ThinSpot[] {
  const spots: ThinSpot[] = [];
  findThin(map, { side, widthPx }, (spot) => spots.push({ ...spot }));
  return spots;
}

function slow(map: Bitmap, side: PlateSide, widthPx: number): string[] {
  const thin = thinPixels(map, side, widthPx);
  const inside = onSide(map, side, false);
  return floods(thin, 8).flatMap((group) => {
    const points = group.map((text) => text.split(',').map(Number) as [number, number]);
    const attached = points.some(([x, y]) =>
      [-1, 0, 1].some((dy) =>
        [-1, 0, 1].some((dx) => inside(x + dx, y + dy) && !thin.has(`${x + dx},${y + dy}`)),
      ),
    );
    const left = Math.min(...points.map(([x]) => x));
    const top = Math.min(...points.map(([, y]) => y));
    const right = Math.max(...points.map(([x]) => x)) + 1;
    const bottom = Math.max(...points.map(([, y]) => y)) + 1;
    const short = Math.max(right - left, bottom - top) < widthPx;
    if (short && attached) return [];
    return [`${short ? 'dot' : 'wall'} ${left} ${top} ${right} ${bottom} ${points.length}`];
  });
}

const told = ({ kind, left, top, right, bottom, areaPx }: ThinSpot): string =>
  `${kind} ${left} ${top} ${right} ${bottom} ${areaPx}`;

const boxes = fc.array(
  fc.tuple(fc.nat(90), fc.nat(70), fc.integer({ min: 1, max: 40 }), fc.integer({ min: 1, max: 25 })),
  { maxLength: 6 },
);

describe('what is too thin', () => {
  test('is told as walls and dots, as flooding tells them; tips of corners are left out', () => {
    fc.assert(
      fc.property(
        boxes,
        fc.integer({ min: 2, max: 9 }),
        fc.constantFrom('etched', 'kept'),
        (drawn, widthPx, side) => {
          const map = fromTest(90, 70, (x, y) =>
            drawn.some(([left, top, w, h]) => x >= left && x < left + w && y >= top && y < top + h),
          );
          expect(fast(map, side, widthPx).map(told).sort()).toEqual(slow(map, side, widthPx).sort());
        },
      ),
      { seed: 5, numRuns: 40 },
    );
  });

  test('a wall keeps its measure across block borders', () => {
    const map = fromTest(70, 400, (x, y) => (x >= 30 && x < 33) || y < 20 || y >= 390);
    expect(fast(map, 'etched', 8)).toEqual([
      { kind: 'wall', left: 30, top: 20, right: 33, bottom: 390, areaPx: 3 * 370, count: 1, widthPx: 3 },
    ]);
  });

  test('a slanting square has no thin corners', () => {
    const map = fromTest(120, 120, (x, y) => Math.abs(x - 60) + Math.abs(y - 60) < 50);
    expect(fast(map, 'etched', 12)).toEqual([]);
  });

  test('a whisker is known to be attached across the border of a word, on either side', () => {
    const toRight = fromTest(96, 40, (x, y) => x < 32 || (y === 10 && x < 36));
    const toLeft = fromTest(96, 40, (x, y) => x >= 32 || (y === 10 && x >= 28));
    expect([...fast(toRight, 'etched', 8), ...fast(toLeft, 'etched', 8)]).toEqual([]);
    const loose = fromTest(96, 40, (x, y) => x < 31 || (y === 10 && x >= 32 && x < 36));
    expect(fast(loose, 'etched', 8).map(told)).toEqual(['dot 32 10 36 11 4']);
  });

  test('a halftone is told by the tile: dots in its lights, walls in its darks', () => {
    const light = fromTest(64, 64, (x, y) => x % 4 === 0 && y % 4 === 0);
    const spots = fast(light, 'etched', 3);
    expect(spots.map(({ kind, count, areaPx }) => [kind, count, areaPx])).toEqual(
      Array(4).fill(['dot', 64, 64]),
    );
    expect(spots[0]!.widthPx).toBeCloseTo(1);
    const dark = fromTest(64, 64, (x, y) => x % 3 !== 0 && y % 3 !== 0);
    expect(fast(dark, 'kept', 3).every(({ kind }) => kind === 'wall')).toBe(true);
    expect(fast(dark, 'kept', 3)).toHaveLength(4);
  });
});
