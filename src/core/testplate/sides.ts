import type { BoxMm, TestFeature } from './layout.ts';
import { type Parts, tidy } from './parts.ts';

/** Ink around the outermost of the bare marks in it. */
export const RIM_MM = 0.8;
/** Room for sizes in mm beside a zone. */
export const LABEL_COLUMN_MM = 4.9;

type Side = TestFeature['side'];

/** The side that prints comes first: its marks stand on bare paper, the others need a ground of ink. */
export interface Sides {
  readonly ink: Side;
  readonly paper: Side;
}

/** A shape of one nominal size, and the box that it takes. */
export interface Piece extends BoxMm {
  readonly sizeMm: number;
}

/** Adds pieces as ink, and the same ones to the right or below as paper in a ground of ink. */
export function addTwice(
  parts: Parts,
  pieces: readonly Piece[],
  what: Pick<TestFeature, 'zone' | 'shape' | 'direction'>,
  sides: Sides,
  extent: BoxMm,
  shift: { readonly xMm: number; readonly yMm: number },
): void {
  const name = what.direction ? `${what.zone}-${what.direction}` : what.zone;
  for (const [i, piece] of pieces.entries())
    parts.features.push({ id: `${name}-${sides.ink}-${i + 1}`, side: sides.ink, ...what, ...piece });
  parts.grounds.push({
    xMm: tidy(extent.xMm + shift.xMm - RIM_MM),
    yMm: tidy(extent.yMm + shift.yMm - RIM_MM),
    widthMm: tidy(extent.widthMm + 2 * RIM_MM),
    heightMm: tidy(extent.heightMm + 2 * RIM_MM),
  });
  for (const [i, piece] of pieces.entries())
    parts.features.push({
      id: `${name}-${sides.paper}-${i + 1}`,
      side: sides.paper,
      ...what,
      ...piece,
      xMm: tidy(piece.xMm + shift.xMm),
      yMm: tidy(piece.yMm + shift.yMm),
    });
}
