import type { Bitmap } from '../bitmap.ts';
import { type SpotOnPitch, spreadMm } from './widths.ts';
import { lastWordMask, readRowWords, wordsFor, writeRowWords } from './words.ts';

/** How far whole pixels can undo the spread of the beam. */
export interface LineCompensation {
  /** Whole pixels taken off every etched mark along x and y. */
  readonly narrowedPx: { readonly x: number; readonly y: number };
  /** What marks still gain after that, in mm; negative where they come out narrower than drawn. */
  readonly leftoverMm: { readonly x: number; readonly y: number };
  /** How far the narrowed marks lie from where they were drawn, in pixels, right and down: 0 or −½. */
  readonly shiftPx: { readonly x: number; readonly y: number };
}

/**
 * Plans the compensation of line art: k = round(spread / pitch) pixels off each mark. The right and the lower
 * side give the first pixel, the opposite sides the second, and so on, so that an even k moves nothing and an odd
 * one half a pixel; draw the picture that much later and it lands where it should.
 */
export function planCompensation(spot: SpotOnPitch): LineCompensation {
  const spread = spreadMm(spot);
  const whole = (mm: number): number => Math.max(0, Math.round(mm / spot.pitchMm));
  const narrowedPx = { x: whole(spread.x), y: whole(spread.y) };
  return {
    narrowedPx,
    leftoverMm: {
      x: spread.x - narrowedPx.x * spot.pitchMm,
      y: spread.y - narrowedPx.y * spot.pitchMm,
    },
    shiftPx: { x: narrowedPx.x % 2 ? -0.5 : 0, y: narrowedPx.y % 2 ? -0.5 : 0 },
  };
}

/**
 * Narrows the etched marks (bit 1) of line art in place by what the beam will add. A mark too thin to give a
 * pixel keeps it, so nothing drawn is lost: a line of one pixel still etches one spot wide. Outside the plate
 * counts as etched while narrowing, so that marks run on over its edge.
 */
export function compensateLine(etch: Bitmap, spot: SpotOnPitch): LineCompensation {
  const plan = planCompensation(spot);
  const { x, y } = plan.narrowedPx;
  for (let step = 0; step < Math.max(x, y); step++) {
    narrowOnce(etch, { alongX: step < x, alongY: step < y, fromRight: step % 2 === 0 });
  }
  return plan;
}

interface Step {
  readonly alongX: boolean;
  readonly alongY: boolean;
  /** True: the right and lower pixel goes; false: the left and upper. */
  readonly fromRight: boolean;
}

/**
 * Takes one pixel off each mark: what stays are the corners of the blocks (2 × 2, or 2 × 1, 1 × 2) that fit into
 * the mark, and every pixel that no block of the mark holds.
 */
function narrowOnce(map: Bitmap, { alongX, alongY, fromRight }: Step): void {
  const words = wordsFor(map.widthPx);
  const last = lastWordMask(map.widthPx);
  const row = (): Int32Array => new Int32Array(words + 2);
  // the bits above y, of y and below; blocks whose upper row is y − 1 and y
  let [above, here, below, blocksAbove, blocks] = [row(), row(), row(), row(), row()];
  const out = row();
  readRowWords(map, 0, here);
  for (let y = 0; y < map.heightPx; y++) {
    readRowWords(map, y + 1, below);
    const lower = alongY ? below : here;
    for (let w = 1; w <= words; w++) {
      const pair = here[w]! & lower[w]!;
      blocks[w] = alongX ? pair & ((pair << 1) | ((here[w + 1]! & lower[w + 1]!) >>> 31)) : pair;
    }
    const upper = alongY ? blocksAbove : blocks;
    for (let w = 1; w <= words; w++) {
      const both = blocks[w]! | upper[w]!;
      const held = alongX ? both | (both >>> 1) | ((blocks[w - 1]! | upper[w - 1]!) << 31) : both;
      out[w] = here[w]! & ~held;
    }
    // the plate goes on beyond its edges: there the neighbour that decides is taken as etched
    const other = alongY ? (fromRight ? below : above) : here;
    const beyond = alongY && (fromRight ? y === map.heightPx - 1 : y === 0) ? -1 : 0;
    const edge = fromRight ? ~last | (last & -last) : -2147483648;
    for (let w = 1; w <= words; w++) {
      const pair = here[w]! & (other[w]! | beyond);
      const side = fromRight
        ? (pair << 1) | ((here[w + 1]! & (other[w + 1]! | beyond)) >>> 31)
        : (pair >>> 1) | ((here[w - 1]! & (other[w - 1]! | beyond)) << 31);
      const atEdge = w === (fromRight ? words : 1) ? edge : 0;
      out[w] = out[w]! | (alongX ? pair & (side | atEdge) : pair);
    }
    out[words] = out[words]! & last;
    writeRowWords(map, y, out);
    [above, here, below] = [here, below, above];
    [blocksAbove, blocks] = [blocks, blocksAbove];
  }
}
