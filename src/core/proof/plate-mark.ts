/** How far the plate's edge is seen to both sides, in mm: the slope of a bevel pressed into damp paper (from memory). */
const SLOPE_MM = 0.45;
/** How much light the slopes lose or gain, lit from the upper left. */
const SHADE = 0.1;

/** The plate on its paper, in pixels of the proof. */
export interface PlateOnPaper {
  readonly leftPx: number;
  readonly topPx: number;
  readonly widthPx: number;
  readonly heightPx: number;
  readonly pxPerMm: number;
}

/**
 * Writes what the pressed-in edge does to the light of row `y` of the paper: 1 = nothing, below it is darker. Most rows are like the
 * one before: false, and nothing written, where it is.
 */
export type ShadeRow = (y: number, into: Float32Array) => boolean;

/** How steep the paper stands `px` from an edge, 0…1. */
function steepness(px: number, slopePx: number): number {
  const at = Math.abs(px) / slopePx;
  return at >= 1 ? 0 : 0.5 + 0.5 * Math.cos(Math.PI * at);
}

/** Steepness by position along one axis: negative at the near edge, which turns from the light, positive at the far one. */
function slopes(from: number, length: number, slopePx: number, count: number): Float32Array {
  return Float32Array.from({ length: count }, (_, i) => {
    const at = i + 0.5 - from;
    return steepness(at - length, slopePx) - steepness(at, slopePx);
  });
}

/** The plate mark: the edge of the plate as the press leaves it in the paper, lit from the upper left. */
export function openPlateMark(plate: PlateOnPaper, paperWidthPx: number, paperHeightPx: number): ShadeRow {
  const { leftPx, topPx, widthPx, heightPx, pxPerMm } = plate;
  const slopePx = Math.max(1, SLOPE_MM * pxPerMm);
  const across = slopes(leftPx, widthPx, slopePx, paperWidthPx);
  const down = slopes(topPx, heightPx, slopePx, paperHeightPx);
  // beyond the end of an edge its slope runs out, so that corners are round
  const ends = (from: number, length: number, count: number): Float32Array =>
    Float32Array.from({ length: count }, (_, i) =>
      steepness(Math.max(0, from - i - 0.5, i + 0.5 - from - length), slopePx),
    );
  const alongX = ends(leftPx, widthPx, paperWidthPx);
  const alongY = ends(topPx, heightPx, paperHeightPx);
  let made: readonly [vertical: number, inRow: number] | undefined;
  return (y, into) => {
    const vertical = down[y]!;
    const inRow = alongY[y]!;
    if (made?.[0] === vertical && made[1] === inRow) return false;
    made = [vertical, inRow];
    for (let x = 0; x < paperWidthPx; x++) {
      const horizontal = inRow * across[x]!;
      const upright = alongX[x]! * vertical;
      // at a corner the steeper side is seen, so that the two meet in a mitre
      into[x] = 1 + SHADE * (Math.abs(horizontal) > Math.abs(upright) ? horizontal : upright);
    }
    return true;
  };
}
