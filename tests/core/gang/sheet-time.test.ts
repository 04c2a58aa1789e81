import * as fc from 'fast-check';
import { expect, test } from 'vitest';
import { type Bitmap, createBitmap, getBit, setBit } from '../../../src/core/bitmap.ts';
import type { MarkedPiece, Place } from '../../../src/core/gang/contract.ts';
import { rasterFor, sheetPassS } from '../../../src/core/gang/sheet-time.ts';
import { estimatePass } from '../../../src/core/time/estimate.ts';
import { columnExtents, rowExtents } from '../../../src/core/time/extents.ts';
import { motion } from './pieces.ts';

/** Plates with few marks, so that rows are empty, short and long. */
const plates = fc
  .tuple(
    fc.integer({ min: 1, max: 12 }),
    fc.integer({ min: 1, max: 12 }),
    fc.array(fc.nat(), { maxLength: 6 }),
  )
  .map(([widthPx, heightPx, marks]) => {
    const map = createBitmap(widthPx, heightPx);
    for (const mark of marks) setBit(map, mark % widthPx, Math.floor(mark / widthPx) % heightPx, 1);
    return map;
  });

/** The sheet itself, pixel by pixel. */
function composed(maps: readonly Bitmap[], places: readonly Place[]): Bitmap {
  const boxes = places.map(({ piece, xPx, yPx, turned }) => {
    const { widthPx, heightPx } = maps[piece]!;
    return { xPx, yPx, ...(turned ? { widthPx: heightPx, heightPx: widthPx } : { widthPx, heightPx }) };
  });
  const { widthPx, heightPx } = rasterFor(boxes);
  const sheet = createBitmap(widthPx, heightPx);
  for (const { piece, xPx, yPx, turned } of places) {
    const map = maps[piece]!;
    for (let y = 0; y < map.heightPx; y++)
      for (let x = 0; x < map.widthPx; x++) {
        if (getBit(map, x, y) === 0) continue;
        if (turned) setBit(sheet, xPx + map.heightPx - 1 - y, yPx + x, 1);
        else setBit(sheet, xPx + x, yPx + y, 1);
      }
  }
  return sheet;
}

test('the time of a sheet that was never composed is the time of the composed one', () => {
  void fc.assert(
    fc.property(
      fc.array(fc.tuple(plates, fc.boolean(), fc.nat({ max: 9 })), { minLength: 1, maxLength: 5 }),
      fc.boolean(),
      fc.boolean(),
      (all, skipsEmptyRows, trimsRows) => {
        const maps = all.map(([map]) => map);
        // side by side, each lower than the one before by some rows
        const places = all.map(
          ([, turned, down], piece): Place => ({ piece, xPx: 14 * piece, yPx: down, turned }),
        );
        const pieces = maps.map(
          (map): MarkedPiece => ({
            widthPx: map.widthPx,
            heightPx: map.heightPx,
            rows: rowExtents(map),
            columns: columnExtents(map),
          }),
        );
        const machine = { ...motion, skipsEmptyRows, trimsRows };
        const whole = estimatePass(rowExtents(composed(maps, places)), 0.1, machine).perPassS;
        expect(sheetPassS(places, pieces, 0.1, machine)).toBeCloseTo(whole, 9);
      },
    ),
    { seed: 5, numRuns: 300 },
  );
});
