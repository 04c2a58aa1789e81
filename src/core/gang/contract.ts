import type { Extents } from '../time/extents.ts';

/** A plate as the packing sees it, upright, in pixels. */
export interface Piece {
  readonly widthPx: number;
  readonly heightPx: number;
}

/** A plate as its minutes see it: where the marks of its rows and of its columns begin and end. */
export interface MarkedPiece extends Piece {
  readonly rows: Extents;
  readonly columns: Extents;
}

/** The part of a sheet that plates may lie on, and the least that is kept between two of them. */
export interface Room {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly gutterPx: number;
}

/** Where a piece lies, from the upper left corner of its room or sheet. */
export interface Place {
  /** Index of the piece. */
  readonly piece: number;
  readonly xPx: number;
  readonly yPx: number;
  /** Turned by 90 degrees clockwise. */
  readonly turned: boolean;
}

/** The places of each sheet. */
export type Sheets = readonly (readonly Place[])[];

/** A box in pixels. */
export interface BoxPx {
  readonly xPx: number;
  readonly yPx: number;
  readonly widthPx: number;
  readonly heightPx: number;
}

/** A piece as it lies. */
export const laid = ({ widthPx, heightPx }: Piece, turned: boolean): Piece =>
  turned ? { widthPx: heightPx, heightPx: widthPx } : { widthPx, heightPx };

/** The pixels that a piece takes where it lies. */
export const boxOf = ({ piece, xPx, yPx, turned }: Place, pieces: readonly Piece[]): BoxPx => ({
  xPx,
  yPx,
  ...laid(pieces[piece]!, turned),
});

/** Whether a piece that lies so fits into an empty room; the gutter is between pieces only. */
export const fitsRoom = (piece: Piece, turned: boolean, room: Room): boolean => {
  const { widthPx, heightPx } = laid(piece, turned);
  return widthPx <= room.widthPx && heightPx <= room.heightPx;
};
