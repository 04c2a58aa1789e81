import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { type EdgeMark, findEdgeMarks, keptStrips } from '../../../src/core/hold/edge.ts';
import { draw, floods, fromTest, onSide } from './slow.ts';

describe('kept strips along the edge', () => {
  test('are told side by side', () => {
    const map = draw(['......', '......', '.##...', '...#..', '......']);
    expect(keptStrips(map)).toEqual([
      { left: 0, top: 0, right: 6, bottom: 2, thickPx: 2 },
      { left: 4, top: 2, right: 6, bottom: 4, thickPx: 2 },
      { left: 0, top: 4, right: 6, bottom: 5, thickPx: 1 },
      { left: 0, top: 2, right: 1, bottom: 4, thickPx: 1 },
    ]);
  });

  test('are none where something is etched on every side, or nothing at all', () => {
    expect(keptStrips(draw(['.#.', '#..', '..#', '.#.']))).toEqual([]);
    expect(keptStrips(draw(['...', '...']))).toEqual([]);
  });
});

describe('marks near the edge', () => {
  test('are the pieces within the band, with what is left to the edge', () => {
    const marks = fc.array(fc.tuple(fc.nat(60), fc.nat(30), fc.integer({ min: 1, max: 9 })), {
      maxLength: 8,
    });
    fc.assert(
      fc.property(
        marks,
        fc.integer({ min: 1, max: 20 }),
        fc.constantFrom('etched', 'kept'),
        (boxes, band, side) => {
          const map = fromTest(60, 30, (x, y) =>
            boxes.some(([l, t, n]) => x >= l && x < l + n && y >= t && y < t + n),
          );
          const fast: EdgeMark[] = [];
          findEdgeMarks(map, side, band, (mark) => fast.push(mark));
          const inside = onSide(map, side, false);
          const clear = (x: number, y: number): number => Math.min(x, y, 59 - x, 29 - y);
          const near = new Set<string>();
          for (let y = 0; y < 30; y++)
            for (let x = 0; x < 60; x++) if (inside(x, y) && clear(x, y) < band) near.add(`${x},${y}`);
          const slow = floods(near, 8).map((group) => {
            const points = group.map((text) => text.split(',').map(Number) as [number, number]);
            return `${points.length} px, ${Math.min(...points.map(([x, y]) => clear(x, y)))} clear`;
          });
          expect(fast.map(({ areaPx, clearPx }) => `${areaPx} px, ${clearPx} clear`).sort()).toEqual(
            slow.sort(),
          );
        },
      ),
      { seed: 2, numRuns: 60 },
    );
  });
});
