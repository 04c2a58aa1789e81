import * as z from 'zod';
import { defineScreen } from './contract.ts';
import { openOrdered, type ThresholdTile } from './ordered.ts';

/**
 * Order in which the cells of a Bayer matrix turn white, 0 … n² − 1: the bits of x ⊕ y and of y, interleaved,
 * lowest bits first. The same as the recursion of B. E. Bayer, "An optimum method for two-level rendition
 * of continuous-tone pictures", IEEE Int. Conf. on Communications 1973, pp. 26-11 … 26-15.
 */
export function bayerRank(x: number, y: number, side: number): number {
  let rank = 0;
  for (let bit = 1; bit < side; bit <<= 1) rank = (rank << 2) | ((x ^ y) & bit ? 2 : 0) | (y & bit ? 1 : 0);
  return rank;
}

/** The matrix as limits of ink tone, repeated to the full bytes that the row kernel wants. */
function bayerTile(side: number): ThresholdTile {
  const cells = side * side;
  const widthPx = Math.max(8, side);
  const paperTones = new Uint16Array(widthPx * side);
  for (let y = 0; y < side; y++)
    for (let x = 0; x < widthPx; x++) {
      // the first to turn white is the last to turn ink
      const inkRank = cells - 1 - bayerRank(x, y, side);
      // half-way between the tones that fill inkRank and inkRank + 1 cells; never a whole number
      paperTones[y * widthPx + x] = Math.floor(((inkRank + 0.5) / cells) * 65535);
    }
  return { widthPx, heightPx: side, paperTones };
}

/** A regular pattern of single pixels, the same in every place of the plate. */
export const bayer = defineScreen({
  kind: 'bayer',
  summary: 'regular crossed pattern of single pixels, in a fixed number of tones',
  params: z.strictObject({
    matrix: z
      .literal([2, 4, 8, 16])
      .default(8)
      .describe('side of the pattern; it draws its square plus one tones')
      .meta({ unit: 'px' }),
  }),
  leadInRows: 0,
  compensates: 'curve',
  packs: 'runs',
  forLineArt: false,
  hasGrid: true,
  tones: ({ matrix }) => matrix * matrix + 1,
  open: ({ matrix }, { widthPx }) => openOrdered(bayerTile(matrix), widthPx),
});
