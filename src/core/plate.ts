import { type Bitmap, complementRow, fillRow, mirrorRow, placeRow } from './bitmap.ts';
import { firstOfRow, type Spans } from './outlines/spans.ts';
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
  /** What stands in the border, print-reading. */
  readonly waste?: readonly Inset[];
  /** A line to cut along by hand, print-reading: of the other kind than the border, so that it is seen. */
  readonly guide?: Spans;
}

/** A drawing somewhere on a plate: 1 is etched. */
export interface Inset {
  readonly xPx: number;
  readonly yPx: number;
  readonly etch: Bitmap;
}

/** Row `y` of a plate with what a drawing has of it; places of a drawing lie on the plate. */
function insetRow({ data, strideBytes }: Bitmap, { xPx, yPx, etch }: Inset, y: number): void {
  if (y < yPx || y >= yPx + etch.heightPx) return;
  placeRow(etch.data, (y - yPx) * etch.strideBytes, etch.widthPx, data, y * strideBytes, xPx);
}

/** Draws all of a drawing on a plate. */
export function placeInset(plate: Bitmap, inset: Inset): void {
  for (let y = inset.yPx; y < inset.yPx + inset.etch.heightPx; y++) insetRow(plate, inset, y);
}

/** Makes the plate outside the picture what its process wants there, with what stands in it. */
function borderRow(plate: Bitmap, { box, border, waste, guide }: Finish, y: number): void {
  const { data, widthPx, strideBytes } = plate;
  const at = y * strideBytes;
  const bit = border === 'etched' ? 1 : 0;
  if (y < box.yPx || y >= box.yPx + box.heightPx) fillRow(data, at, 0, widthPx, bit);
  else {
    fillRow(data, at, 0, box.xPx, bit);
    fillRow(data, at, box.xPx + box.widthPx, widthPx, bit);
  }
  for (const inset of waste ?? []) insetRow(plate, inset, y);
  if (!guide) return;
  for (let i = firstOfRow(guide, y); guide[i] === y; i += 3)
    fillRow(data, at, guide[i + 1]!, guide[i + 2]!, bit === 1 ? 0 : 1);
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
