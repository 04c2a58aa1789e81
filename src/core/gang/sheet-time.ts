import { estimatePass } from '../time/estimate.ts';
import type { Extents } from '../time/extents.ts';
import type { Motion } from '../time/motion.ts';
import { type BoxPx, boxOf, type MarkedPiece, type Place } from './contract.ts';

/** Pixels from the sheet's upper left corner to the end of what lies on it. */
export function rasterFor(boxes: readonly BoxPx[]): { readonly widthPx: number; readonly heightPx: number } {
  let widthPx = 0;
  let heightPx = 0;
  for (const box of boxes) {
    widthPx = Math.max(widthPx, box.xPx + box.widthPx);
    heightPx = Math.max(heightPx, box.yPx + box.heightPx);
  }
  return { widthPx, heightPx };
}

/** First and last mark of each row of a raster with pieces at their places. */
function extentsOf(places: readonly Place[], pieces: readonly MarkedPiece[]): Extents {
  const raster = rasterFor(places.map((place) => boxOf(place, pieces)));
  const first = new Int32Array(raster.heightPx).fill(-1);
  const last = new Int32Array(raster.heightPx).fill(-1);
  const mark = (y: number, from: number, to: number): void => {
    if (first[y]! < 0 || from < first[y]!) first[y] = from;
    if (to > last[y]!) last[y] = to;
  };
  for (const { piece, xPx, yPx, turned } of places) {
    const { rows, columns, heightPx } = pieces[piece]!;
    const lines = turned ? columns : rows;
    for (let i = 0; i < lines.first.length; i++) {
      if (lines.first[i]! < 0) continue;
      // turned clockwise, the lowest pixel of a column comes first
      const from = turned ? heightPx - 1 - lines.last[i]! : lines.first[i]!;
      const to = turned ? heightPx - 1 - lines.first[i]! : lines.last[i]!;
      mark(yPx + i, xPx + from, xPx + to);
    }
  }
  return { lengthPx: raster.widthPx, first, last };
}

/** Time of one pass over a sheet, in seconds, without composing it; lettering in the waste is left out of account. */
export const sheetPassS = (
  places: readonly Place[],
  pieces: readonly MarkedPiece[],
  pitchMm: number,
  motion: Motion,
): number => estimatePass(extentsOf(places, pieces), pitchMm, motion).perPassS;
