import type { PointMm } from '../outlines/contract.ts';
import { necksOf } from '../outlines/mend.ts';
import { areaMm2, boxMm, opened, type Polygons, partsOf, simplified, without } from '../outlines/polygons.ts';

/** What makes a piece hard to hold, to ink or to print, how much it has of it in mm, and where. */
export interface PieceCaution {
  readonly code: 'piece-too-small' | 'thin-bridge' | 'sharp-corners';
  /** Side of the largest square, or width of the bridge; for corners the radius that they want. */
  readonly mm: number;
  readonly limitMm: number;
  /** Print-reading. */
  readonly at: PointMm;
}

/** Smaller pieces are hard to hold and to ink: 8 to 10 mm, from memory. */
const SMALLEST_SIDE_MM = 8;
/** Narrower bridges break when the piece is lifted: about the thickness of usual sheets, from memory. */
const NARROWEST_BRIDGE_MM = 2;
/** Sharper corners cut blankets and break off; from memory. */
const CORNER_RADIUS_MM = 1;
/** A disc of that radius leaves (1 − π/4) r² = 0.21 mm² of a right-angled corner, less of a blunter one. */
const CORNER_LEFT_MM2 = 0.05;
const ARC_MM = 0.01;
/** Halvings that find the width of a bridge to a sixteenth of the limit. */
const HALVINGS = 4;

const middleOf = (part: Polygons): PointMm => {
  const { left, right, top, bottom } = boxMm(part);
  return { x: (left + right) / 2, y: (top + bottom) / 2 };
};

/** The narrowest of the bridges that hold a piece together, where one is under the limit. */
function narrowestBridge(piece: Polygons): { mm: number; at: PointMm } | null {
  let necks = necksOf(piece, NARROWEST_BRIDGE_MM);
  if (necks.length === 0) return null;
  let [low, high] = [0, NARROWEST_BRIDGE_MM];
  for (let i = 0; i < HALVINGS; i++) {
    const middle = (low + high) / 2;
    const found = necksOf(piece, middle);
    if (found.length === 0) low = middle;
    else {
      high = middle;
      necks = found;
    }
  }
  return { mm: (low + high) / 2, at: middleOf(necks[0]!) };
}

/** What is frail about a piece; `sideMm` and `innerMm` are of the largest square in it. */
export function pieceCautions(whole: Polygons, sideMm: number, innerMm: PointMm): PieceCaution[] {
  // chords of curves say nothing here, and take time
  const piece = simplified(whole, ARC_MM);
  const cautions: PieceCaution[] = [];
  if (sideMm < SMALLEST_SIDE_MM)
    cautions.push({ code: 'piece-too-small', mm: sideMm, limitMm: SMALLEST_SIDE_MM, at: innerMm });
  // a piece that is thin all over is told as small
  const bridge = sideMm > NARROWEST_BRIDGE_MM ? narrowestBridge(piece) : null;
  if (bridge) cautions.push({ code: 'thin-bridge', limitMm: NARROWEST_BRIDGE_MM, ...bridge });
  const left = without(piece, opened(piece, CORNER_RADIUS_MM, ARC_MM));
  const corner = partsOf(left).find((part) => areaMm2(part) > CORNER_LEFT_MM2);
  if (corner)
    cautions.push({
      code: 'sharp-corners',
      mm: CORNER_RADIUS_MM,
      limitMm: CORNER_RADIUS_MM,
      at: middleOf(corner),
    });
  return cautions;
}
