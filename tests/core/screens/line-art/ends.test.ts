import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { openEnds } from '../../../../src/core/screens/line-art/ends.ts';
import { NOTED_PX } from '../../../../src/core/screens/line-art/note.ts';
import { openToneRows } from '../../../../src/core/screens/line-art/tones.ts';

const REACH = 2;
const CELL_ROWS = 2 * REACH + 1;

/** A grey field with single pixels of other tones on it, those next to the limits among them. */
const fields = fc
  .record({
    widthPx: fc.integer({ min: 1, max: 1300 }),
    cellXPx: fc.integer({ min: 1, max: 32 }),
    cellYPx: fc.integer({ min: 1, max: 3 }),
    darkAbove: fc.integer({ min: 30_000, max: 65_534 }),
    lightBelow: fc.integer({ min: 1, max: 29_000 }),
    spots: fc.array(fc.tuple(fc.nat(), fc.nat(), fc.constantFrom(-2, -1, 0, 1, 2, 3), fc.boolean()), {
      maxLength: 8,
    }),
  })
  .map((given) => {
    const heightPx = CELL_ROWS * given.cellYPx;
    const rows = Array.from({ length: heightPx }, () => new Uint16Array(given.widthPx).fill(29_500));
    for (const [x, y, by, dark] of given.spots)
      rows[y % heightPx]![x % given.widthPx] = Math.min(
        65_535,
        Math.max(0, (dark ? given.darkAbove : given.lightBelow) + by),
      );
    return { ...given, rows };
  });

describe('ends of tone that meet', () => {
  test('are missed by no window, and seen only where both lie near', () => {
    fc.assert(
      fc.property(fields, ({ widthPx, cellXPx, cellYPx, darkAbove, lightBelow, rows }) => {
        const cells = Math.ceil(widthPx / cellXPx);
        const tones = openToneRows(cells * cellXPx, rows.length);
        const ends = openEnds(tones, { cellXPx, cellYPx, reach: REACH, darkAbove, lightBelow });
        // rows of other plates before them, which are forgotten
        for (let y = -rows.length; y < rows.length; y++) {
          tones.take(y < 0 ? rows[0]!.map((_, x) => (x & 1 ? 65_535 : 0)) : rows[y]!, y);
          ends.row(y);
        }
        const met = ends.meet();
        const isMet = (unit: number): boolean => ((met[unit >> 5]! << (unit & 31)) & 0x80000000) !== 0;
        const inWindow = (cell: number, passes: (tone: number) => boolean): boolean =>
          rows.some((row) =>
            row.slice(Math.max(0, (cell - REACH) * cellXPx), (cell + REACH + 1) * cellXPx).some(passes),
          );
        for (let cell = 0; cell < cells; cell++)
          if (inWindow(cell, (t) => t > darkAbove) && inWindow(cell, (t) => t < lightBelow))
            expect(isMet(Math.floor((cell * cellXPx) / NOTED_PX)), `cell ${cell}`).toBe(true);
        // a tone next to the limit may count as well
        const beside = Math.ceil(((REACH + 1) * cellXPx) / NOTED_PX);
        const near = (unit: number, passes: (tone: number) => boolean): boolean =>
          rows.some((row) => {
            const last = row.length - 1;
            const from = Math.min(last, Math.max(0, (unit - beside) * NOTED_PX));
            return row.slice(from, (unit + beside + 1) * NOTED_PX).some(passes) || passes(row[from]!);
          });
        for (let unit = 0; unit * NOTED_PX < widthPx; unit++)
          if (isMet(unit)) {
            expect(
              near(unit, (t) => t >= darkAbove - 1),
              `unit ${unit}`,
            ).toBe(true);
            expect(
              near(unit, (t) => t <= lightBelow + 1),
              `unit ${unit}`,
            ).toBe(true);
          }
      }),
      { seed: 16, numRuns: 200 },
    );
  });
});
