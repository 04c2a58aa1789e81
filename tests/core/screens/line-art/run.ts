import type { ScreenFinding } from '../../../../src/core/screens/contract.ts';
import { FORCED, type LineArtPlace, openLineArt } from '../../../../src/core/screens/line-art/index.ts';
import { type Drawing, toneRow } from '../drive.ts';
import { type Field, fieldOf } from './slow.ts';

export const linePlace = (given: Partial<LineArtPlace> & { readonly widthPx: number }): LineArtPlace => ({
  cellXPx: 2,
  cellYPx: 2,
  holdXPx: 2,
  holdYPx: 2,
  etchedSide: 'ink',
  darkestTone: 65535,
  lightestTone: 0,
  strokePx: 4,
  ...given,
});

export interface LineRun {
  readonly etched: Field;
  /** One of `FORCED` for each cell. */
  readonly forced: Field;
  readonly found: readonly ScreenFinding[];
}

/** A drawing through the line split, band by band, each band opened anew with 32 cell rows of lead-in. */
export function runLines(
  drawing: Drawing,
  place: LineArtPlace,
  bandCellRows = Number.POSITIVE_INFINITY,
): LineRun {
  const { widthPx, heightPx } = drawing;
  const { cellXPx, cellYPx } = place;
  const cellRows = Math.ceil(heightPx / cellYPx);
  const etched = fieldOf(widthPx, heightPx, () => false);
  const forced = fieldOf(Math.ceil(widthPx / cellXPx), cellRows, () => false);
  const found: ScreenFinding[] = [];
  for (let first = 0; first < cellRows; first += bandCellRows) {
    const end = Math.min(cellRows, first + bandCellRows);
    const art = openLineArt(place);
    for (let y = (first - 32) * cellYPx; y < end * cellYPx + art.delayRows; y++) {
      art.row(toneRow(drawing, y), y);
      const done = y - art.delayRows;
      if (done < first * cellYPx || (done + 1) % cellYPx !== 0) continue;
      const cellRow = (done + 1) / cellYPx - 1;
      forced.bits.set(art.forced(cellRow), cellRow * forced.width);
      for (let row = cellRow * cellYPx; row <= Math.min(done, heightPx - 1); row++) {
        const bytes = art.etchedRow(row);
        for (let x = 0; x < widthPx; x++)
          etched.bits[row * widthPx + x] = (bytes[x >> 3]! >> (7 - (x & 7))) & 1;
      }
    }
    found.push(...art.found(first * cellYPx, end * cellYPx));
  }
  return { etched, forced, found };
}

export const isForced = ({ forced }: LineRun, column: number, row: number): boolean =>
  forced.bits[row * forced.width + column] !== FORCED.screen;
