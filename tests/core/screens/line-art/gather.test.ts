import fc from 'fast-check';
import { expect, test } from 'vitest';
import { rowStream } from '../../../../src/core/rng.ts';
import type { CellFigures } from '../../../../src/core/screens/line-art/figures.ts';
import { openPlainFigures } from '../../../../src/core/screens/line-art/gather.ts';
import { PLANE_OF } from '../../../../src/core/screens/line-art/gather-text.ts';
import { figuresBytes, openVectorFigures } from '../../../../src/core/screens/line-art/gather-vector.ts';
import { openPlainRows, openVectorRows } from '../../../../src/core/screens/line-art/tones.ts';

const SPARE_CELLS = 3;
const FIRST = 2;

const given = fc.record({
  cellXPx: fc.oneof(fc.integer({ min: 1, max: 6 }), fc.integer({ min: 1, max: 32 })),
  cellYPx: fc.integer({ min: 1, max: 5 }),
  firstCell: fc.integer({ min: 0, max: 9 }),
  count: fc.oneof(fc.integer({ min: 1, max: 32 }), fc.constant(32)),
  low: fc.oneof(fc.constant(0), fc.integer({ min: 0, max: 65_535 })),
  full: fc.oneof(fc.constant(65_535), fc.integer({ min: 1, max: 65_535 })),
  seed: fc.nat(),
});

test('figures of cells and their bits by vectors are those of the plain loops and of the tones themselves', () => {
  fc.assert(
    fc.property(given, ({ cellXPx, cellYPx, firstCell, count, low, full, seed }) => {
      const random = rowStream(seed, 0, 0);
      const special = [0, 1, low, low + 1, (low + full) >> 1, low + full, low + full + 1, 65_535];
      const limit = (): number =>
        random() % 4 === 0 ? special[random() % special.length]! : random() % 65_536;
      const shape = {
        cellXPx,
        cellYPx,
        low,
        full,
        cells: FIRST + count + SPARE_CELLS,
        words: PLANE_OF.length + 1,
        limits: PLANE_OF.map(limit),
      };
      const widthPx = (firstCell + count) * cellXPx;
      const rows = Array.from({ length: cellYPx }, () =>
        Uint16Array.from({ length: widthPx }, () => Math.min(65_535, limit())),
      );
      const vectorRows = openVectorRows(widthPx, cellYPx, figuresBytes(shape));
      const plainRows = openPlainRows(widthPx, cellYPx);
      const vector = vectorRows && openVectorFigures(vectorRows, shape);
      // a test that compares the plain loops with themselves would say nothing
      if (!vectorRows || !vector) throw new Error('this engine has no vectors');
      for (const [y, row] of rows.entries()) {
        vectorRows.take(row, y);
        plainRows.take(row, y);
      }
      const gathered = (figures: CellFigures) => {
        figures.gather(firstCell * cellXPx, count, FIRST);
        figures.mark(FIRST, count, 1);
        const own = (of: 'least' | 'most' | 'between') => [...figures[of].subarray(0, FIRST + count)];
        return {
          least: own('least'),
          most: own('most'),
          between: own('between'),
          planes: [...figures.planes],
        };
      };
      const slow = {
        least: new Array(FIRST).fill(0),
        most: new Array(FIRST).fill(0),
        between: new Array(FIRST).fill(0),
        planes: new Array(PLANE_OF.length + 1).fill(0),
      };
      for (let cell = 0; cell < count; cell++) {
        const left = (firstCell + cell) * cellXPx;
        const tones = rows.flatMap((row) =>
          [...row.subarray(left, left + cellXPx)].map((tone) => Math.max(0, tone - low)),
        );
        slow.least.push(Math.min(...tones));
        slow.most.push(Math.max(...tones));
        slow.between.push(tones.reduce((sum, tone) => sum + Math.min(tone, full - tone), 0));
        for (const [plane, { of, above }] of PLANE_OF.entries())
          if (slow[of].at(-1) > shape.limits[plane]! === above) slow.planes[1 + plane] |= 0x80000000 >>> cell;
      }
      expect(gathered(openPlainFigures(plainRows, shape))).toEqual(slow);
      expect(gathered(vector)).toEqual(slow);
    }),
    { seed: 5, numRuns: 200 },
  );
});
