import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { arrange, inReadingOrder, leastSheets } from '../../../src/core/gang/arrange.ts';
import { boxOf, fitsRoom, type Piece, type Room, type Sheets } from '../../../src/core/gang/contract.ts';
import { packMaxRects } from '../../../src/core/gang/maxrects.ts';
import { sheetPassS } from '../../../src/core/gang/sheet-time.ts';
import { packShelves } from '../../../src/core/gang/shelves.ts';
import { motion, solid } from './pieces.ts';

/** Every piece once, none turned that may not be, none outside, and a gutter between any two. */
function expectLawful(sheets: Sheets, pieces: readonly Piece[], room: Room, mayTurn: boolean): void {
  const seen = sheets.flat().map(({ piece }) => piece);
  expect(seen.toSorted((a, b) => a - b)).toEqual(pieces.map((_, index) => index));
  for (const places of sheets) {
    expect(places.length).toBeGreaterThan(0);
    const boxes = places.map((place) => boxOf(place, pieces));
    for (const [i, a] of boxes.entries()) {
      if (!mayTurn) expect(places[i]!.turned).toBe(false);
      expect(Math.min(a.xPx, a.yPx)).toBeGreaterThanOrEqual(0);
      expect(a.xPx + a.widthPx).toBeLessThanOrEqual(room.widthPx);
      expect(a.yPx + a.heightPx).toBeLessThanOrEqual(room.heightPx);
      for (const b of boxes.slice(i + 1)) {
        const across = Math.max(a.xPx, b.xPx) - Math.min(a.xPx + a.widthPx, b.xPx + b.widthPx);
        const down = Math.max(a.yPx, b.yPx) - Math.min(a.yPx + a.heightPx, b.yPx + b.heightPx);
        expect(Math.max(across, down)).toBeGreaterThanOrEqual(room.gutterPx);
      }
    }
  }
}

const rooms = fc.record({
  widthPx: fc.integer({ min: 20, max: 120 }),
  heightPx: fc.integer({ min: 20, max: 120 }),
  gutterPx: fc.integer({ min: 0, max: 9 }),
});
const sizes = fc.array(fc.tuple(fc.integer({ min: 1, max: 70 }), fc.integer({ min: 1, max: 70 })), {
  minLength: 1,
  maxLength: 30,
});

describe('packing', () => {
  test('never overlaps, never leaves the sheet, keeps its gutters and loses no plate; never below the bound', () => {
    let used = 0;
    let bound = 0;
    void fc.assert(
      fc.property(rooms, sizes, fc.boolean(), (room, all, mayTurn) => {
        const pieces = all
          .map(([widthPx, heightPx]) => solid(widthPx, heightPx))
          .filter((piece) => fitsRoom(piece, false, room) || (mayTurn && fitsRoom(piece, true, room)));
        fc.pre(pieces.length > 0);
        const { sheets } = arrange(pieces, room, mayTurn, 1, motion);
        expectLawful(sheets, pieces, room, mayTurn);
        expect(sheets.length).toBeGreaterThanOrEqual(leastSheets(pieces, room));
        used += sheets.length;
        bound += leastSheets(pieces, room);
      }),
      { seed: 7, numRuns: 150 },
    );
    // awkward sizes, up to half a sheet each: no bound of areas is reached by all of them
    expect(used / bound).toBeLessThan(1.3);
  });

  test('each way of packing is lawful by itself', () => {
    void fc.assert(
      fc.property(rooms, sizes, fc.infiniteStream(fc.boolean()), (room, all, coins) => {
        const pieces = all
          .map(([widthPx, heightPx]) => ({ widthPx, heightPx }))
          .filter((piece) => fitsRoom(piece, false, room) || fitsRoom(piece, true, room));
        fc.pre(pieces.length > 0);
        const turns = pieces.map((piece) => {
          const wish = coins.next().value as boolean;
          return fitsRoom(piece, wish, room) ? wish : !wish;
        });
        for (const sheets of [
          packShelves(pieces, turns, room),
          packMaxRects(pieces, turns, room, 'area'),
          packMaxRects(pieces, null, room, 'edge'),
        ]) {
          expectLawful(sheets, pieces, room, true);
          expectLawful(inReadingOrder(sheets, pieces), pieces, room, true);
        }
      }),
      { seed: 8, numRuns: 100 },
    );
  });

  test('a plate that leaves no room beside it has a sheet of its own', () => {
    const room = { widthPx: 100, heightPx: 60, gutterPx: 4 };
    const pieces = [solid(100, 60), solid(60, 100), solid(98, 59)];
    const { sheets } = arrange(pieces, room, true, 1, motion);
    expectLawful(sheets, pieces, room, true);
    expect(sheets).toHaveLength(3);
  });

  test('plates of one size lie in their order, row by row', () => {
    const room = { widthPx: 600, heightPx: 400, gutterPx: 6 };
    const pieces = Array.from({ length: 15 }, () => solid(150, 100));
    const { sheets } = arrange(pieces, room, true, 1, motion);
    expect(sheets.flatMap((places) => places.map(({ piece }) => piece))).toEqual(pieces.map((_, i) => i));
  });
});

// a class of fifteen, plates of 150 × 100 mm on sheets of 600 × 400 mm with gutters of 6 mm:
// minutes by (H · dpi / 25.4) · (W / v + turn), v = 500 mm/s, turn = 0.15 s, reckoned by hand
describe('a class of fifteen', () => {
  const px = (mm: number, dpi: number): number => Math.round((mm * dpi) / 25.4);
  const roomAt = (dpi: number): Room => ({
    widthPx: px(600, dpi),
    heightPx: px(400, dpi),
    gutterPx: px(6, dpi),
  });
  const plate = (dpi: number) => solid(px(150, dpi), px(100, dpi));
  const minutes = (seconds: number): number => seconds / 60;
  const row = (dpi: number, count: number): number => {
    const pieces = Array.from({ length: count }, () => plate(dpi));
    const [places] = packShelves(
      pieces,
      pieces.map(() => true),
      roomAt(dpi),
    );
    return minutes(sheetPassS(places!, pieces, 25.4 / dpi, motion));
  };

  test('ten turned plates lie on one sheet, five by two', () => {
    const pieces = Array.from({ length: 10 }, () => plate(400));
    const sheets = packShelves(
      pieces,
      pieces.map(() => true),
      roomAt(400),
    );
    expect(sheets).toHaveLength(1);
    expect(new Set(sheets[0]!.map(({ yPx }) => yPx)).size).toBe(2);
    expect(sheets[0]!.filter(({ yPx }) => yPx === 0)).toHaveLength(5);
  });

  test('minutes: singly, in a row of five, in two rows', () => {
    const alone = solid(px(150, 400), px(100, 400));
    const singly = sheetPassS([{ piece: 0, xPx: 0, yPx: 0, turned: false }], [alone], 25.4 / 400, motion);
    expect(minutes(singly)).toBeCloseTo(11.8, 1);
    expect(15 * minutes(singly)).toBeCloseTo(177, 0);
    // the figures count a gutter behind the last plate of a row, too: one in a hundred
    for (const [ours, told] of [
      [3 * row(400, 5), 143],
      [row(400, 10), 95],
      [row(300, 5), 36],
      [row(300, 10), 71],
      [3 * row(300, 5), 107],
    ] as const)
      expect(Math.abs(ours / told - 1)).toBeLessThan(0.02);
  });

  test('the arrangement chosen takes two sheets, and no longer than three rows of five', () => {
    const pieces = Array.from({ length: 15 }, () => plate(400));
    const chosen = arrange(pieces, roomAt(400), true, 25.4 / 400, motion);
    expect(chosen.sheets).toHaveLength(2);
    expect(leastSheets(pieces, roomAt(400))).toBe(2);
    expect(minutes(chosen.passS)).toBeLessThanOrEqual(3 * row(400, 5));
  });

  test('without turning, three by three lie on a sheet', () => {
    const pieces = Array.from({ length: 15 }, () => plate(300));
    const { sheets } = arrange(pieces, roomAt(300), false, 25.4 / 300, motion);
    expect(sheets.map((places) => places.length)).toEqual([9, 6]);
  });

  test('rows side by side take less time than the same plates below each other', () => {
    const pieces = Array.from({ length: 4 }, () => solid(px(40, 300), px(30, 300)));
    const { passS, method } = arrange(pieces, roomAt(300), false, 25.4 / 300, motion);
    const column = pieces.map((piece, i) => ({
      piece: i,
      xPx: 0,
      yPx: i * (piece.heightPx + 80),
      turned: false,
    }));
    expect(method).toBe('rows');
    // four plates of 40 mm share one turning of 0.15 s: 0.506 against 4 × 0.23 s a row
    expect(sheetPassS(column, pieces, 25.4 / 300, motion) / passS).toBeCloseTo(0.92 / 0.506, 1);
  });
});
