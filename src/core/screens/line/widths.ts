import { octagonFor } from '../../hold/opening.ts';
import type { Lines } from './layout.ts';

/** Steepest climb of the wave against the direction of the lines. */
export const climbOf = ({ waveLengthPx, waveHeightPx }: Lines): number =>
  waveLengthPx > 0 ? (Math.PI * waveHeightPx) / waveLengthPx : 0;

/** How far the centres of pixels of one column or row, whichever cuts the lines more steeply, lie apart across them. */
export function gridStep(angleDeg: number): number {
  const angle = (angleDeg * Math.PI) / 180;
  return Math.max(Math.abs(Math.cos(angle)), Math.abs(Math.sin(angle)));
}

/** Width across the lines in which a square or octagon of `px` pixels finds a place in every column. */
function bandFor(px: number, angleDeg: number): number {
  const angle = (angleDeg * Math.PI) / 180;
  const both = Math.abs(Math.cos(angle)) + Math.abs(Math.sin(angle));
  const step = gridStep(angleDeg);
  const { square, slant } = octagonFor(px);
  return Math.min((px - 1) * both, (square - 1) * both + 2 * slant * step) + step;
}

/** Narrowest line, or gap, in pixels across the lines, that is nowhere narrower than `px` where the wave climbs. */
export function narrowestBand(px: number, lines: Lines): number {
  const climb = climbOf(lines);
  const turn = (Math.atan(climb) * 180) / Math.PI;
  const widest = Math.max(...[-turn, 0, turn].map((by) => bandFor(px, lines.angleDeg + by)));
  return widest * Math.hypot(1, climb);
}
