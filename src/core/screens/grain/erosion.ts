import type { Offset } from '../../spot/regions.ts';
import type { ScreenPlace, ScreenRow } from '../contract.ts';
import { heldPx } from './mask.ts';
import { markOf } from './measures.ts';

/**
 * How the etched side is eroded by what the spot will add. Eroding the thresholds by the whole width leaves grains that only
 * their first pixel's tone decides: where the tone varies from pixel to pixel they overlap less than in flats, and pictures come out dark
 * (0.5 to 1 points at 2.3 to 3 px). Eroding the bitmap asks all pixels of a grain at once: wherever the
 * tone varies, and not at edges alone, grains are cut and fall to the erosion, and pictures come out light (0.3 to 1.6 points).
 * So the rows are eroded in the thresholds, and the last columns on the bits: there the two cancel, to a third of a point.
 */
export interface Erosion {
  /** What the thresholds are eroded over. */
  readonly offsets: readonly Offset[];
  /** A pixel stays etched only if so many to its right are. */
  readonly alongRowPx: number;
  /** Where marks then lie against what was asked for. */
  readonly shiftPx: { readonly x: number; readonly y: number };
}

const ALONE: Erosion = { offsets: [{ dx: 0, dy: 0 }], alongRowPx: 0, shiftPx: { x: 0, y: 0 } };

/** Below this a block of four firings is nearer to its outline unshrunk: a quarter of the mark covers half a pixel, √(8 / π). */
const LEAST_ERODED_PX = 1.6;

/** A mark that lacks so little of a whole pixel is taken for it. */
const NEARLY_PX = 0.1;

/**
 * Pixels that a mark of so many is taken for: never more than it is wide, nor than the narrowest square of the mask, which must not fall to the erosion. What is left over, the curve takes off tones, but nothing gives it back to
 * lands: taken for two, a spot of 2.95 pixels leaves nine tenths of the lands of a 90 % tone narrower than itself.
 */
function takenFor(markPx: number, narrowestPx: number): number {
  if (markPx < LEAST_ERODED_PX) return 1;
  const whole = Math.min(narrowestPx, Math.floor(markPx + NEARLY_PX));
  return Math.max(2, Math.round(markPx) - 1, whole);
}

/** Columns left for the bits: more rows in the mask want more of them, or pictures come out dark (by 0.65 points with one, three rows). */
const MOST_ALONG_ROW_PX = 2;

/** The erosion for a place; none where tone means the pixels fired. */
export function erosionFor(place: ScreenPlace): Erosion {
  const { allowsForSpot, spotPx, beam } = place;
  if (!allowsForSpot) return ALONE;
  const held = heldPx(markOf(place));
  const columns = takenFor(spotPx + (beam === 'sweep' ? 1 : 0), held);
  const rows = takenFor(spotPx, held);
  if (columns === 1) return ALONE;
  const offsets: Offset[] = [];
  const left = -((columns - 1) >> 1);
  const top = -((rows - 1) >> 1);
  const alongRowPx = Math.min(MOST_ALONG_ROW_PX, columns - 1);
  for (let y = 0; y < rows; y++)
    for (let x = 0; x < columns - alongRowPx; x++) offsets.push({ dx: left + x, dy: top + y });
  return { offsets, alongRowPx, shiftPx: { x: -alongRowPx / 2, y: rows % 2 === 0 ? -0.5 : 0 } };
}

/** Erodes what a row has etched by one pixel from the right; the outermost pixel goes on beyond the plate. */
export function erodeRows(row: ScreenRow, widthPx: number, etchesInk: boolean): ScreenRow {
  const bytes = (widthPx + 7) >> 3;
  const lastPixel = 0x80 >> ((widthPx - 1) & 7);
  return (tone, y, bits, at) => {
    row(tone, y, bits, at);
    const last = at + bytes - 1;
    if (etchesInk) {
      for (let i = at; i < last; i++) bits[i] = bits[i]! & ((bits[i]! << 1) | (bits[i + 1]! >> 7));
      bits[last] = bits[last]! & ((bits[last]! << 1) | lastPixel);
    } else {
      for (let i = at; i < last; i++) bits[i] = bits[i]! | (bits[i]! << 1) | (bits[i + 1]! >> 7);
      bits[last] = bits[last]! | (bits[last]! << 1);
    }
  };
}
