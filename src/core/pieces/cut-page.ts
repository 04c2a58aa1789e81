import type { LinePage, PointMm } from '../outlines/contract.ts';
import { mirroredPaths, movedPaths } from '../outlines/paths.ts';
import type { Jigsaw } from './jigsaw.ts';

/** Around the canvas, so that no line lies on the edge of the page. */
const MARGIN_MM = 5;

/** How a sheet of jigsaw plates lies on the machine. */
export interface CutWish {
  readonly widthMm: number;
  readonly heightMm: number;
  /** From 0; a jigsaw cut from one sheet has that alone. */
  readonly sheet: number;
  readonly mirrored: boolean;
}

/**
 * The lines of one sheet. From one sheet each border is cut once, the edge of the canvas too, so what is left around it
 * is a frame to put the pieces together in. Of two sheets each has its pieces where they are on the print, cut larger.
 */
export function cutPage(jigsaw: Jigsaw, { widthMm, heightMm, sheet, mirrored }: CutWish): LinePage {
  const own = jigsaw.pieces.filter((piece) => piece.sheet === sheet).flatMap(({ paths }) => paths);
  const facing = mirrored ? mirroredPaths(own, widthMm) : own;
  const isOne = jigsaw.gapMm > 0;
  const toPage = ({ x, y }: PointMm): PointMm => ({
    x: MARGIN_MM + (mirrored ? widthMm - x : x),
    y: MARGIN_MM + y,
  });
  return {
    widthMm: widthMm + 2 * MARGIN_MM,
    heightMm: heightMm + 2 * MARGIN_MM,
    lines: [
      {
        paths: movedPaths(facing, MARGIN_MM, MARGIN_MM),
        strokes: isOne ? jigsaw.lines.map((line) => line.map(toPage)) : [],
      },
    ],
  };
}
