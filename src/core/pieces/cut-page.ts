import type { LinePage, Lines, OutlinePath, PointMm } from '../outlines/contract.ts';
import { mirroredPaths, movedPaths } from '../outlines/paths.ts';

/** Around the sheet, so that no line lies on the edge of the page. */
export const CUT_MARGIN_MM = 5;

/** Lines of one sheet, print-reading, in mm from the corner of the picture. */
export interface CutLines {
  /** Closed ones, kerf allowed for. */
  readonly paths: readonly OutlinePath[];
  /** Open ones, which neighbours share. */
  readonly strokes: readonly (readonly PointMm[])[];
}

/** Where the picture lies on its sheet, in mm, print-reading, and how the sheet lies on the machine. */
export interface CutPlace {
  readonly xMm: number;
  readonly yMm: number;
  readonly widthMm: number;
  readonly heightMm: number;
  readonly mirrored: boolean;
}

/** The lines of a sheet where they lie on it as the machine sees it, in a page with a margin. */
export function cutPage({ paths, strokes }: CutLines, place: CutPlace): LinePage {
  const { xMm, yMm, widthMm, heightMm, mirrored } = place;
  const moved = movedPaths(paths, xMm, yMm);
  const facing = mirrored ? mirroredPaths(moved, widthMm) : moved;
  const toPage = ({ x, y }: PointMm): PointMm => ({
    x: CUT_MARGIN_MM + (mirrored ? widthMm - xMm - x : xMm + x),
    y: CUT_MARGIN_MM + yMm + y,
  });
  const lines: Lines = {
    paths: movedPaths(facing, CUT_MARGIN_MM, CUT_MARGIN_MM),
    strokes: strokes.map((line) => line.map(toPage)),
  };
  return { widthMm: widthMm + 2 * CUT_MARGIN_MM, heightMm: heightMm + 2 * CUT_MARGIN_MM, lines: [lines] };
}
