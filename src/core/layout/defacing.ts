import { type Bitmap, createBitmap } from '../bitmap.ts';
import { MM_PER_INCH, pxFor } from '../geometry.ts';
import { drawStrokes } from './stroke-raster.ts';

/** Wide enough to be seen across a room on any print of it; common practice is a scored cross. */
const LINE_MM = 2;

/**
 * What cancels a matrix: both diagonals, etched (1) over all of it. Reads the same mirrored. `widthMm`, `heightMm`:
 * its size; `dpi`: that of its plate file.
 */
export function defacingEtch(widthMm: number, heightMm: number, dpi: number): Bitmap {
  const bitmap = createBitmap(pxFor(widthMm, dpi), pxFor(heightMm, dpi), true);
  const corner = (xMm: number, yMm: number) => ({ xMm, yMm });
  drawStrokes(
    bitmap,
    [
      [corner(0, 0), corner(widthMm, heightMm)],
      [corner(widthMm, 0), corner(0, heightMm)],
    ],
    { pxPerMm: dpi / MM_PER_INCH, penMm: Math.min(LINE_MM, widthMm / 4, heightMm / 4) },
  );
  return bitmap;
}
