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

/** Makes the plate outside the picture what its process wants there. */
function borderRow({ data, widthPx, strideBytes }: Bitmap, { box, border }: Finish, y: number): void {
  const at = y * strideBytes;
  const bit = border === 'etched' ? 1 : 0;
  if (y < box.yPx || y >= box.yPx + box.heightPx) fillRow(data, at, 0, widthPx, bit);
  else {
    fillRow(data, at, 0, box.xPx, bit);
    fillRow(data, at, box.xPx + box.widthPx, widthPx, bit);
  }
}

/**
 * First half of finishing, in place, for the rows [fromRow, toRow): ink becomes etch, by the process. Until here
 * a set bit is ink; from here on it is etched. Between the halves line art may be narrowed for the spot.
 */
export function etchRows(bitmap: Bitmap, finish: Finish, fromRow: number, toRow: number): void {
  for (let y = fromRow; y < toRow; y++) {
    if (finish.etches === 'paper') complementRow(bitmap.data, y * bitmap.strideBytes, bitmap.widthPx);
    borderRow(bitmap, finish, y);
  }
}

/** Second half, the last step of all: the border as it must be, then the mirror, once. */
export function faceRows(bitmap: Bitmap, finish: Finish, fromRow: number, toRow: number): void {
  for (let y = fromRow; y < toRow; y++) {
    borderRow(bitmap, finish, y);
    if (finish.mirror) mirrorRow(bitmap.data, y * bitmap.strideBytes, bitmap.widthPx);
  }
}

/**
 * The one place where ink becomes etch and print-reading becomes plate-reading: both halves, for a plate that
 * is not narrowed in between.
 */
export function finishRows(bitmap: Bitmap, finish: Finish, fromRow: number, toRow: number): void {
  etchRows(bitmap, finish, fromRow, toRow);
  faceRows(bitmap, finish, fromRow, toRow);
}
