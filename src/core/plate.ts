import { type Bitmap, complementRow, fillRow, mirrorRow } from './bitmap.ts';
import type { EtchedSide } from './screens/contract.ts';

/** What turns screened ink into the finished plate. */
export interface Finish {
  readonly etches: EtchedSide;
  /** What the plate is outside the picture. */
  readonly border: 'etched' | 'kept';
  /** Where the picture lies, print-reading. */
  readonly box: {
    readonly xPx: number;
    readonly yPx: number;
    readonly widthPx: number;
    readonly heightPx: number;
  };
  readonly mirror: boolean;
}

/**
 * The one place where ink becomes etch and print-reading becomes plate-reading, in place, for the rows
 * [fromRow, toRow): polarity by the process, then the border, then the mirror, once and last.
 * Until this point a set bit is ink; after it a set bit is etched.
 */
export function finishRows(bitmap: Bitmap, finish: Finish, fromRow: number, toRow: number): void {
  const { widthPx, strideBytes, data } = bitmap;
  const { box, etches, mirror } = finish;
  const outside = finish.border === 'etched' ? 1 : 0;
  for (let y = fromRow; y < toRow; y++) {
    const at = y * strideBytes;
    if (y < box.yPx || y >= box.yPx + box.heightPx) {
      fillRow(data, at, 0, widthPx, outside);
      continue;
    }
    if (etches === 'paper') complementRow(data, at, widthPx);
    fillRow(data, at, 0, box.xPx, outside);
    fillRow(data, at, box.xPx + box.widthPx, widthPx, outside);
    if (mirror) mirrorRow(data, at, widthPx);
  }
}
