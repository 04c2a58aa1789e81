import type { Loop, OutlinePath } from '../outlines/contract.ts';
import { cutLines } from '../outlines/cut-lines.ts';
import { mirroredPaths } from '../outlines/paths.ts';
import { areaMm2, boxMm, loopsOf, offset, type Polygons, polygonsOf } from '../outlines/polygons.ts';

/** A shape of thin paper laid on the inked plate, face down, glue up. */
export interface ChineWish {
  /** The shape as it is wanted on the print, print-reading, in mm; its middle stays where it is. */
  readonly loops: readonly Loop[];
  /** How far it stays inside those lines: 0.3 to 0.5 mm inside the edge of a plate is common practice. */
  readonly insetMm: number;
  /** What the paper grows by when it is damped, as a share, along both axes of the print as it will lie. */
  readonly wetGrowth: { readonly x: number; readonly y: number };
  readonly kerfMm: number;
  /** Which side of the paper is up on the machine. */
  readonly face: 'up' | 'down';
  /** Width within which lines are mirrored: that of the canvas. */
  readonly canvasMm: number;
}

/** One piece of paper as it is cut. */
export interface ChineShape {
  /** Lines to cut, as the machine sees them. */
  readonly paths: readonly OutlinePath[];
  /** The dry piece. */
  readonly widthMm: number;
  readonly heightMm: number;
  readonly areaMm2: number;
}

/** Furthest that a line may lie from the true one: a fifth of a usual kerf. */
const TOLERANCE_MM = 0.03;

/** Size a piece is cut at so that it has the wanted size when damp: wet / (1 + e), where e, `growth`, is a share and no percentage. */
export const dryMm = (wetMm: number, growth: number): number => wetMm / (1 + growth);

/** Is a line mirrored where a sheet lies like this? A plate shows its face mirrored, paper shows it as it is read. */
export const isCutMirrored = (sheet: 'plate' | 'paper', face: 'up' | 'down'): boolean =>
  (sheet === 'plate') === (face === 'up');

/** The lines of a shape for chine-collé, cut before it is damped. RangeError where the inset leaves nothing of it. */
export function chineShape({ loops, insetMm, wetGrowth, kerfMm, face, canvasMm }: ChineWish): ChineShape {
  const wet = offset(polygonsOf(loops), -insetMm, 'mitred');
  if (wet.length === 0) throw new RangeError(`an inset of ${insetMm} mm leaves nothing of the shape`);
  const { left, right, top, bottom } = boxMm(wet);
  const [middleX, middleY] = [(left + right) / 2, (top + bottom) / 2];
  const dry: Polygons = polygonsOf(
    loopsOf(wet).map((loop) =>
      loop.map(({ x, y }) => ({
        x: middleX + dryMm(x - middleX, wetGrowth.x),
        y: middleY + dryMm(y - middleY, wetGrowth.y),
      })),
    ),
  );
  const lines = cutLines(dry, kerfMm, TOLERANCE_MM);
  return {
    paths: isCutMirrored('paper', face) ? mirroredPaths(lines, canvasMm) : lines,
    widthMm: dryMm(right - left, wetGrowth.x),
    heightMm: dryMm(bottom - top, wetGrowth.y),
    areaMm2: areaMm2(dry),
  };
}
