import { type Bitmap, createBitmap, fillRow } from '../bitmap.ts';
import type { Loop } from '../outlines/contract.ts';
import { spansOf } from '../outlines/spans.ts';
import type { CutPlan } from '../separations/contract.ts';

/** The pixels of a picture. */
export interface Raster {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly pxPerMm: number;
}

/** What is cut, and where each plate of it is to carry ink; print-reading. */
export interface PiecesPlan {
  readonly cut: CutPlan;
  readonly plates: readonly Bitmap[];
  /** Pieces of which an inset leaves nothing. */
  readonly lost: readonly string[];
}

/** A bitmap of zeros, as large as the raster. */
export const emptyMap = ({ widthPx, heightPx }: Raster): Bitmap => createBitmap(widthPx, heightPx);

/** Sets the pixels whose middles lie inside loops, which are in mm from the corner of the picture. */
export function fillLoops(map: Bitmap, loops: readonly Loop[], pxPerMm: number): void {
  const spans = spansOf(loops, pxPerMm, map.widthPx, map.heightPx);
  for (let i = 0; i < spans.length; i += 3)
    fillRow(map.data, spans[i]! * map.strideBytes, spans[i + 1]!, spans[i + 2]!, 1);
}
