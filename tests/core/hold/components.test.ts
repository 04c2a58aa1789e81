import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Bitmap } from '../../../src/core/bitmap.ts';
import { createClusterer } from '../../../src/core/hold/clusters.ts';
import { findPieces, type Piece, ribbonWidthPx } from '../../../src/core/hold/components.ts';
import { loadRow } from '../../../src/core/hold/words.ts';
import { draw, floods, fromTest, onSide } from './slow.ts';

function pieces(map: Bitmap, neighbours: 4 | 8, marks?: Bitmap): Piece[] {
  const found: Piece[] = [];
  const finder = findPieces(map.widthPx, neighbours, (piece) => found.push({ ...piece }));
  const count = (map.widthPx + 31) >> 5;
  const words = new Int32Array(count + 2);
  const marked = new Int32Array(count);
  for (let y = 0; y < map.heightPx; y++) {
    loadRow(map, y, 0, 0, words, 1);
    if (marks) loadRow(marks, y, 0, 0, marked, 0);
    finder.row(words, 1, y, marks && marked, 0);
  }
  finder.end();
  return found;
}

function slowPieces(map: Bitmap, neighbours: 4 | 8, marks: Bitmap): Piece[] {
  const inside = onSide(map, 'etched', false);
  const marked = onSide(marks, 'etched', false);
  const all = new Set<string>();
  for (let y = 0; y < map.heightPx; y++)
    for (let x = 0; x < map.widthPx; x++) if (inside(x, y)) all.add(`${x},${y}`);
  return floods(all, neighbours).map((group) => {
    const points = group.map((text) => text.split(',').map(Number) as [number, number]);
    const xs = points.map(([x]) => x);
    const ys = points.map(([, y]) => y);
    const top = Math.min(...ys);
    return {
      areaPx: points.length,
      left: Math.min(...xs),
      top,
      right: Math.max(...xs) + 1,
      bottom: Math.max(...ys) + 1,
      firstX: Math.min(...points.filter(([, y]) => y === top).map(([x]) => x)),
      rowRuns: points.filter(([x, y]) => !inside(x - 1, y)).length,
      columnRuns: points.filter(([x, y]) => !inside(x, y - 1)).length,
      marked: points.some(([x, y]) => marked(x, y)),
    };
  });
}

const byPlace = (a: Piece, b: Piece): number => a.top - b.top || a.firstX - b.firstX;

const noise = fc
  .tuple(
    fc.integer({ min: 1, max: 70 }),
    fc.integer({ min: 1, max: 14 }),
    fc.integer(),
    fc.integer({ min: 1, max: 9 }),
  )
  .map(([widthPx, heightPx, seed, dense]) =>
    fromTest(widthPx, heightPx, (x, y) => {
      const h = Math.imul(Math.imul(x + 1, 0x9e3779b1) ^ Math.imul(y + 7, 0x85ebca6b) ^ seed, 0xc2b2ae35);
      return (h >>> 16) % 10 < dense;
    }),
  );

describe('connected pieces', () => {
  test.each([4, 8] as const)('are those that flooding finds, over %i neighbours', (neighbours) => {
    fc.assert(
      fc.property(noise, noise, (map, marks) => {
        expect(
          pieces(map, neighbours, fromTest(map.widthPx, map.heightPx, onSide(marks, 'etched', false))).sort(
            byPlace,
          ),
        ).toEqual(slowPieces(map, neighbours, marks).sort(byPlace));
      }),
      { seed: 11, numRuns: 300 },
    );
  });

  test('pieces that meet only further down are one', () => {
    const map = draw(['#..#..#', '#..#..#', '####..#', '......#', '#######']);
    expect(pieces(map, 4).map((piece) => piece.areaPx)).toEqual([8, 11]);
  });

  test('the width of a ribbon comes out whatever its direction', () => {
    for (const [slope, widthPx] of [
      [0, 9],
      [0.3, 12],
      [1, 20],
      [3, 15],
    ] as const) {
      const long = Math.hypot(1, slope);
      const ribbon = fromTest(400, 400, (x, y) => {
        const across = (y - 200 - slope * (x - 200)) / long;
        return (
          Math.abs((x - 200 + slope * (y - 200)) / long) < 150 &&
          across >= -widthPx / 2 &&
          across < widthPx / 2
        );
      });
      const [piece] = pieces(ribbon, 8);
      expect(
        Math.abs(ribbonWidthPx(piece!.areaPx, piece!.rowRuns, piece!.columnRuns) - widthPx),
      ).toBeLessThan(1);
    }
  });
});

describe('clusters', () => {
  const box = (left: number, top: number, size: number) => ({
    left,
    top,
    right: left + size,
    bottom: top + size,
  });

  test('gather what lies near and keep apart what does not', () => {
    const clusterer = createClusterer({ widthPx: 1000, heightPx: 1000 }, 20, (a, b) => a < b);
    clusterer.add(box(100, 100, 5), 1, 25, 5);
    clusterer.add(box(115, 100, 3), 1, 9, 3);
    clusterer.add(box(600, 600, 4), 2, 16, 4);
    expect(clusterer.clusters()).toEqual([
      { left: 100, top: 100, right: 118, bottom: 105, count: 2, areaPx: 34, worstPx: 3 },
      { left: 600, top: 600, right: 604, bottom: 604, count: 2, areaPx: 16, worstPx: 4 },
    ]);
  });

  test('a later piece joins two clusters into one', () => {
    const clusterer = createClusterer({ widthPx: 400, heightPx: 100 }, 20, (a, b) => a > b);
    clusterer.add(box(10, 10, 5), 1, 25, 5);
    clusterer.add(box(300, 10, 5), 1, 25, 9);
    clusterer.add({ left: 12, top: 12, right: 302, bottom: 13 }, 1, 290, 1);
    expect(clusterer.clusters()).toEqual([
      { left: 10, top: 10, right: 305, bottom: 15, count: 3, areaPx: 340, worstPx: 9 },
    ]);
  });
});
