import type { Offset } from '../../spot/regions.ts';
import type { ScreenPlace, ScreenRow } from '../contract.ts';
import { heldPx } from './mask.ts';
import { markOf, sweptOf } from './measures.ts';

/**
 * How the etched side is eroded by what the spot will add. Eroding the thresholds by the whole width leaves grains that only
 * their first pixel's tone decides: where the tone varies from pixel to pixel they overlap less than in flats, and pictures come out dark
 * (0.5 to 1 points at 2.3 to 3 px). Eroding the bitmap asks all pixels of a grain at once: wherever the
 * tone varies, and not at edges alone, grains are cut and fall to the erosion, and pictures come out light (0.3 to 1.6 points).
 * In flats both are the same, bit for bit, so each may have its share: the last columns are eroded on the bits, and so is the
 * last row in one to three of four bytes of pixels, but for the finest grains. There the two cancel, to a third of a point; with all rows in the
 * thresholds pictures are up to 0.45 dark, with one on the bits everywhere up to 0.5 light.
 */
export interface Erosion {
  /** What the thresholds are eroded over. */
  readonly offsets: readonly Offset[];
  /** The same in the bytes that `isErodedDown` names, where the bits of the row below do the rest. */
  readonly offsetsAbove: readonly Offset[];
  /** How many of four bytes these are, 0 … 3. */
  readonly downBytes: number;
  /** A pixel stays etched only if so many to its right are. */
  readonly alongRowPx: number;
  /** Rows by which the bits come behind the tone. */
  readonly delayRows: 0 | 1;
  /** Where marks then lie against what was asked for. */
  readonly shiftPx: { readonly x: number; readonly y: number };
}

const OWN_PIXEL: readonly Offset[] = [{ dx: 0, dy: 0 }];
const ALONE: Erosion = {
  offsets: OWN_PIXEL,
  offsetsAbove: OWN_PIXEL,
  downBytes: 0,
  alongRowPx: 0,
  delayRows: 0,
  shiftPx: { x: 0, y: 0 },
};

/** Below this a block of four firings is nearer to its outline unshrunk: a quarter of the mark covers half a pixel, √(8 / π). */
const LEAST_ERODED_PX = 1.6;

/** A mark that lacks so little of a whole pixel is taken for it. */
const NEARLY_PX = 0.1;

/** A length that is a whole number of pixels but for the last digits is that number. */
const ALMOST_PX = 1e-6;

/** What stands along a row or across it in the mask: marks, lands, and the lands that are to come out. */
interface Across {
  readonly markPx: number;
  readonly narrowestMarkPx: number;
  readonly narrowestLandPx: number;
  readonly wantedLandPx: number;
}

/**
 * Pixels that a mark of so many is taken for: as a rule those it is wide. A land of the mask gains what marks are eroded
 * by, a pixel less than they are taken for, and loses what they spread, a pixel less than they are wide. So that lands come out
 * wider than the spot, marks are taken for one pixel more where they must: for two, a spot of 2.75 pixels left all lands of a 95 % tone narrower
 * than itself. Never for more than the narrowest mark of the mask, which must not fall to the erosion; what is left over, the curve takes off tones.
 */
function takenFor({ markPx, narrowestMarkPx, narrowestLandPx, wantedLandPx }: Across): number {
  if (markPx < LEAST_ERODED_PX) return 1;
  const forLands = Math.floor(wantedLandPx + markPx - narrowestLandPx + ALMOST_PX) + 1;
  const wanted = Math.max(Math.floor(markPx + NEARLY_PX), forLands);
  return Math.max(2, Math.round(markPx) - 1, Math.min(narrowestMarkPx, wanted));
}

/** More rows in the mask want more columns on the bits, or pictures come out dark (by 0.65 points with one, three rows). */
const MOST_ALONG_ROW_PX = 2;

/**
 * Columns left for the bits. A column that the beam's staying on wants is eroded in the mask, or pictures come out light (0.57 points at
 * a spot of 2 px, 0.25 so), except where all would be and the mark is wider than what it is taken for (0.34 dark at 1.2 px, 0.23 light so).
 */
function alongRowFor(columns: number, markPx: number, sweptPx: number): number {
  const least = markPx > columns + NEARLY_PX ? 1 : 0;
  return Math.min(MOST_ALONG_ROW_PX, Math.max(least, columns - 1 - sweptPx));
}

/** Of so many bytes of pixels the last ones have their last row eroded on the bits. */
const OF_BYTES = 4;
const MOST_DOWN_BYTES = 3;

/** Wider spots have not been measured. */
const WIDEST_MEASURED_PX = 3;

/**
 * One of the bytes, and one more for each quarter of a pixel by which the spot is wider than what it is taken for. Nothing else takes
 * that off solids and edges: with one byte always, lettering came out 1.5 to 2.2 points dark at 2.3 to 2.5 px, of which holding its
 * thinnest strokes explains 0.6 (2.3 px) and 0.8 (2.5); with all four pictures are up to 0.57 light.
 */
function downBytesFor(spotPx: number, rows: number): number {
  const leftPx = spotPx > WIDEST_MEASURED_PX ? 0 : Math.max(0, spotPx - rows);
  return Math.min(MOST_DOWN_BYTES, 1 + Math.round(leftPx * OF_BYTES));
}

/**
 * Of grains finer than so many times the rows eroded, most that an edge cuts fall to the erosion of columns already: a row more on the bits, and
 * pictures come out light (0.42 at 2.5 times three rows).
 */
const FINE_ROWS = 3.25;

/** The erosion for a grain of a period on a place; none where tone means the pixels fired. */
export function erosionFor(place: ScreenPlace, periodPx: number): Erosion {
  const { allowsForSpot, spotPx, beam } = place;
  if (!allowsForSpot) return ALONE;
  const held = heldPx(markOf(place));
  const swept = sweptOf(place);
  const lands = { narrowestLandPx: held, wantedLandPx: spotPx };
  const markColumnsPx = spotPx + (beam === 'sweep' ? 1 : 0);
  const columns = takenFor({ markPx: markColumnsPx, narrowestMarkPx: held + swept, ...lands });
  const rows = takenFor({ markPx: spotPx, narrowestMarkPx: held, ...lands });
  if (columns === 1) return ALONE;
  const left = -((columns - 1) >> 1);
  const top = -((rows - 1) >> 1);
  const alongRowPx = alongRowFor(columns, markColumnsPx, swept);
  const block = (rowsHere: number): Offset[] =>
    Array.from({ length: rowsHere * (columns - alongRowPx) }, (_, i) => ({
      dx: left + Math.floor(i / rowsHere),
      dy: top + (i % rowsHere),
    }));
  const shiftX = -alongRowPx / 2;
  const offsets = block(rows);
  if (rows === 1 || periodPx < FINE_ROWS * rows)
    return {
      offsets,
      offsetsAbove: offsets,
      downBytes: 0,
      alongRowPx,
      delayRows: 0,
      shiftPx: { x: shiftX, y: rows % 2 === 0 ? -0.5 : 0 },
    };
  const downBytes = downBytesFor(spotPx, rows);
  const downShare = downBytes / OF_BYTES;
  // what an even number of rows has in the thresholds lies half a pixel up, and what an odd one has on the bits
  const upPx = rows % 2 === 0 ? 0.5 * (1 - downShare) : 0.5 * downShare;
  return {
    offsets,
    offsetsAbove: block(rows - 1),
    downBytes,
    alongRowPx,
    delayRows: 1,
    shiftPx: { x: shiftX, y: -upPx },
  };
}

/** Whether a column's last row is eroded on the bits; columns come again with any tile. */
export const isErodedDown = (x: number, downBytes: number): boolean =>
  (x >> 3) % OF_BYTES >= OF_BYTES - downBytes;

/** Writes bytes eroded by one pixel (`further` 7) or two (6) from the right. Apart, so that the engine keeps all in registers. */
function erodeFromRight(from: Uint8Array, flip: number, further: number, bits: Uint8Array, at: number): void {
  let here = from[0]! ^ flip;
  const end = from.length;
  let to = at;
  for (let i = 1; i < end; i++, to++) {
    const next = from[i]! ^ flip;
    const both = (here << 8) | next;
    bits[to] = (here & (both >> 7) & (both >> further)) ^ flip;
    here = next;
  }
  const both = (here << 8) | 0xff;
  bits[to] = (here & (both >> 7) & (both >> further)) ^ flip;
}

/**
 * Erodes what a row has etched from the right, by one pixel or two, and where there is a delay the bytes of `isErodedDown` from below
 * first. The outermost pixel goes on beyond the plate's right edge; the last row is to be followed by itself. One pass over the
 * bytes: step by step it took a sixth of the time of comparing with the tile for each of them.
 */
export function erodeBits(
  row: ScreenRow,
  widthPx: number,
  etchesInk: boolean,
  { alongRowPx, delayRows, downBytes }: Pick<Erosion, 'alongRowPx' | 'delayRows' | 'downBytes'>,
): ScreenRow {
  const last = (widthPx - 1) >> 3;
  const padding = 0x7f >> ((widthPx - 1) & 7);
  const flip = etchesInk ? 0 : 0xff;
  const further = 8 - alongRowPx;
  let above = new Uint8Array(last + 1);
  let below = new Uint8Array(last + 1);
  return (tone, y, bits, at) => {
    row(tone, y, below, 0);
    const from = delayRows > 0 ? above : below;
    for (let first = OF_BYTES - downBytes; first < OF_BYTES; first++)
      for (let i = first; i <= last; i += OF_BYTES)
        from[i] = etchesInk ? from[i]! & below[i]! : from[i]! | below[i]!;
    // what lies beyond the edge counts as etched, which takes nothing from the outermost pixel
    from[last] = etchesInk ? from[last]! | padding : from[last]! & ~padding;
    erodeFromRight(from, flip, further, bits, at);
    bits[at + last] = bits[at + last]! & ~padding;
    if (delayRows > 0) [above, below] = [below, above];
  };
}
