import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { FORCED, type LineArtPlace } from '../../../../src/core/screens/line-art/index.ts';
import type { Drawing } from '../drive.ts';
import { isForced, linePlace, runLines } from './run.ts';
import { type Field, fieldOf, slowCells, slowChanged, slowEtched } from './slow.ts';

const show = ({ width, bits }: Field): string[] => {
  const rows: string[] = [];
  for (let at = 0; at < bits.length; at += width) {
    rows.push(Array.from(bits.subarray(at, at + width), (bit) => (bit ? '#' : '.')).join(''));
  }
  return rows;
};

/** Strokes, boxes and soft edges on white, black or grey. */
const drawings = fc
  .record({
    widthPx: fc.integer({ min: 1, max: 90 }),
    heightPx: fc.integer({ min: 1, max: 60 }),
    ground: fc.constantFrom(0, 0, 0, 65535, 30000),
    boxes: fc.array(
      fc.tuple(
        fc.nat(90),
        fc.nat(60),
        fc.integer({ min: 1, max: 40 }),
        fc.integer({ min: 1, max: 6 }),
        fc.constantFrom(65535, 65535, 0, 33000, 12000),
        fc.boolean(),
      ),
      { maxLength: 12 },
    ),
    bands: fc.array(fc.tuple(fc.nat(120), fc.integer({ min: 1, max: 8 }), fc.constantFrom(65535, 0, 40000)), {
      maxLength: 3,
    }),
  })
  .map(
    ({ widthPx, heightPx, ground, boxes, bands }): Drawing => ({
      widthPx,
      heightPx,
      toneAt: (x, y) => {
        let tone: number = ground;
        for (const [left, top, long, wide, ink, down] of boxes) {
          const [w, h] = down ? [wide, long] : [long, wide];
          if (x >= left && x < left + w && y >= top && y < top + h) tone = ink;
        }
        for (const [at, wide, ink] of bands) if (x + y >= at && x + y < at + wide) tone = ink;
        return tone;
      },
    }),
  );

/** A few marks on a wide ramp or a grey, with long stretches between them and beyond them. */
const sparse = fc
  .record({
    widthPx: fc.integer({ min: 300, max: 700 }),
    heightPx: fc.integer({ min: 20, max: 50 }),
    ramp: fc.boolean(),
    marks: fc.array(fc.tuple(fc.nat(699), fc.nat(49), fc.integer({ min: 1, max: 9 }), fc.boolean()), {
      minLength: 1,
      maxLength: 4,
    }),
  })
  .map(
    ({ widthPx, heightPx, ramp, marks }): Drawing => ({
      widthPx,
      heightPx,
      toneAt: (x, y) => {
        for (const [left, top, wide, ink] of marks) {
          const near = Math.max(Math.abs(x - left), Math.abs(y - top));
          if (near < 24 && Math.abs(x - left - (y - top)) < wide) return ink ? 65535 : 0;
          if (near < 24) return ink ? 0 : 65535;
        }
        return ramp ? Math.round((65535 * x) / widthPx) : 24000;
      },
    }),
  );

/** Large flat shapes of nearly or wholly the extremes, side by side, with strokes across them. */
const tones = fc
  .record({
    widthPx: fc.integer({ min: 60, max: 210 }),
    heightPx: fc.integer({ min: 20, max: 60 }),
    shapes: fc.array(
      fc.tuple(
        fc.nat(209),
        fc.nat(59),
        fc.integer({ min: 3, max: 90 }),
        fc.integer({ min: 3, max: 40 }),
        fc.constantFrom(0, 0, 2000, 6000, 52000, 60000, 64000, 65535),
        fc.boolean(),
      ),
      { minLength: 1, maxLength: 8 },
    ),
  })
  .map(
    ({ widthPx, heightPx, shapes }): Drawing => ({
      widthPx,
      heightPx,
      toneAt: (x, y) => {
        let tone = 0;
        for (const [left, top, wide, high, ink, leans] of shapes) {
          const at = leans ? x - left - y : x - left;
          if (at >= 0 && at < wide && y >= top && y < top + high) tone = ink;
        }
        return tone;
      },
    }),
  );

/** The held bits of line art's cells, all others 0. */
function slowLines(drawing: Drawing, place: LineArtPlace): Field {
  const held = slowEtched(drawing, place);
  const cells = slowCells(drawing, place);
  const inLines = (x: number, y: number): boolean =>
    cells[Math.floor(y / place.cellYPx)]![Math.floor(x / place.cellXPx)]!;
  return fieldOf(held.width, held.height, (x, y) => inLines(x, y) && held.bits[y * held.width + x] === 1);
}

const places = fc.record({
  cellXPx: fc.integer({ min: 1, max: 4 }),
  cellYPx: fc.integer({ min: 1, max: 4 }),
  holdXPx: fc.integer({ min: 1, max: 4 }),
  holdYPx: fc.integer({ min: 1, max: 4 }),
  etchedSide: fc.constantFrom('ink' as const, 'paper' as const),
  lightestTone: fc.constantFrom(0, 5000),
});

describe('line art by rows', () => {
  test('is thresholded and held as a whole picture would be, and nothing is drawn elsewhere', () => {
    fc.assert(
      fc.property(drawings, places, (drawing, given) => {
        const place = linePlace({ widthPx: drawing.widthPx, ...given });
        expect(show(runLines(drawing, place).etched)).toEqual(show(slowLines(drawing, place)));
      }),
      { seed: 11, numRuns: 60 },
    );
  });

  test('is found and held the same where it lies far apart, between blocks and rows that are passed by', () => {
    fc.assert(
      fc.property(sparse, places, fc.constantFrom(65535, 52428), (given, shape, darkestTone) => {
        const toneAt = (x: number, y: number): number => Math.min(darkestTone, given.toneAt(x, y));
        const drawing = { ...given, toneAt };
        const place = linePlace({ widthPx: drawing.widthPx, ...shape, darkestTone });
        const run = runLines(drawing, place);
        expect(show(run.etched)).toEqual(show(slowLines(drawing, place)));
        const cells = slowCells(drawing, place);
        const changed = slowChanged(drawing, place, cells);
        const lines = cells.map((row, j) => row.map((is, i) => is && !changed[j]![i]!));
        expect(lines.map((row, j) => row.map((_, i) => isForced(run, i, j)))).toEqual(lines);
      }),
      { seed: 14, numRuns: 12 },
    );
  });

  test('is told from the edges of tones the same', () => {
    fc.assert(
      fc.property(tones, places, (drawing, given) => {
        const place = linePlace({ widthPx: drawing.widthPx, ...given });
        expect(show(runLines(drawing, place).etched)).toEqual(show(slowLines(drawing, place)));
        const bands = runLines(drawing, place, 5);
        expect(show(bands.etched)).toEqual(show(slowLines(drawing, place)));
      }),
      { seed: 15, numRuns: 16 },
    );
  });

  test('is told from the rest as a whole picture would be, and a forced cell goes with most of its pixels', () => {
    fc.assert(
      fc.property(drawings, places, (drawing, given) => {
        const place = linePlace({ widthPx: drawing.widthPx, ...given });
        const run = runLines(drawing, place);
        const cells = slowCells(drawing, place);
        const changed = slowChanged(drawing, place, cells);
        const lines = cells.map((row, j) => row.map((is, i) => is && !changed[j]![i]!));
        expect(lines.map((row, j) => row.map((_, i) => isForced(run, i, j)))).toEqual(lines);
        const { etched, forced } = run;
        for (let j = 0; (j + 1) * place.cellYPx <= drawing.heightPx; j++) {
          for (let i = 0; i < forced.width; i++) {
            const code = forced.bits[j * forced.width + i];
            if (code === FORCED.screen) continue;
            let [sum, area] = [0, 0];
            for (let y = j * place.cellYPx; y < (j + 1) * place.cellYPx; y++) {
              for (let x = i * place.cellXPx; x < Math.min(etched.width, (i + 1) * place.cellXPx); x++) {
                sum += etched.bits[y * etched.width + x]!;
                area++;
              }
            }
            expect(code).toBe(2 * sum >= area ? FORCED.etched : FORCED.kept);
          }
        }
      }),
      { seed: 12, numRuns: 60 },
    );
  });

  test('comes out the same in bands', () => {
    fc.assert(
      fc.property(drawings, places, fc.integer({ min: 1, max: 9 }), (drawing, given, bandCellRows) => {
        const place = linePlace({ widthPx: drawing.widthPx, ...given });
        const whole = runLines(drawing, place);
        const bands = runLines(drawing, place, bandCellRows);
        expect(show(bands.etched)).toEqual(show(whole.etched));
        expect(bands.forced).toEqual(whole.forced);
      }),
      { seed: 13, numRuns: 40 },
    );
  });
});
