import type { Loop, OutlinePath } from './contract.ts';
import { countLoops, loopsOf, offset, type Polygons } from './polygons.ts';
import { smoothLoop } from './smooth.ts';

/** Chords of what is given stay under a millimetre; what is twice as long was drawn straight. */
const STRAIGHT_FROM_MM = 2;

/** Lines that leave a piece at its size: grown by half the kerf, holes drawn in by it, within a tolerance. */
export function cutLines(piece: Polygons, kerfMm: number, toleranceMm: number): OutlinePath[] {
  const line = offset(piece, kerfMm / 2, 'mitred');
  const smoothing = { toleranceMm, straightFromMm: STRAIGHT_FROM_MM, overMm: 2 * toleranceMm };
  return loopsOf(line).map((loop: Loop, i) =>
    smoothLoop(loop, countLoops([line[i]!]).holes === 1, smoothing),
  );
}
