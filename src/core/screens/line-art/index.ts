import { countWord } from '../../bitmap.ts';
import type { EtchedSide, ScreenFinding } from '../contract.ts';
import { BLOCK, CELL_ROWS_BELOW, lineCellsBytes, openLineCells, ROWS } from './cells.ts';
import { holdReachPx, openHold, sourceRowsFor } from './hold.ts';
import { createRing, storeRow, thresholdRow } from './rows.ts';
import { openSpans } from './spans.ts';
import { openTally, TALLY_REACH, TALLY_ROWS_BELOW } from './tally.ts';
import { WIDEST_STONE_PX } from './thin.ts';
import { openToneRows } from './tones.ts';
import { openTooFine, type TooFine } from './too-fine.ts';

export { BLOCK };

/** The plate on which line art is looked for. */
export interface LineArtPlace {
  readonly widthPx: number;
  /** Size of the screen's cells in pixels; at most 32 each. */
  readonly cellXPx: number;
  readonly cellYPx: number;
  /** Narrowest etched mark and kept land that hold, in whole pixels, 1 … 32. */
  readonly holdXPx: number;
  readonly holdYPx: number;
  readonly etchedSide: EtchedSide;
  /** Darkest and lightest ink tone asked for, 0 … 65535. */
  readonly darkestTone: number;
  readonly lightestTone: number;
  /** Etched strokes narrower than so many pixels are told; above 32 it counts as 32. */
  readonly strokePx: number;
}

/** What becomes of a cell: it is left to the screen, or it is line art and mostly kept or etched. */
export const FORCED = { screen: 0, kept: 1, etched: 2 } as const;

/** Finds line art in the tone rows that run past, and says which cells it decides. */
export interface LineArt {
  /** After `row(tone, y)` all rows up to y − delayRows are final. */
  readonly delayRows: number;
  /** Rows to be run before the first one wanted. */
  readonly leadInRows: number;
  /** Takes the next tone row (ink tone, `widthPx` long, left as it is); the first y is a whole multiple of cellYPx. */
  row(tone: Uint16Array, y: number): void;
  /** One of `FORCED` for each cell of a cell row whose last row is final; good until the next call. */
  forced(cellRow: number): Uint8Array;
  /** False where `forced` would leave all cells of a final cell row to the screen without looking at them. */
  any(cellRow: number): boolean;
  /** The same of its cells from block · BLOCK on alone, BLOCK of them. */
  anyIn(cellRow: number, block: number): boolean;
  /** The held line bitmap of a final row within line art, packed, 1 = etched, all else 0; good until the next call. */
  etchedRow(y: number): Uint8Array;
  /**
   * What is too fine to hold and has its top row in [fromRow, toRow): `stroke-too-fine` for etched strokes,
   * `gap-too-fine` for kept gaps that were widened or closed. Largest first, a few dozen at most; to be asked for once,
   * at the end. A piece that runs on below the rows seen so far is told as far as it was seen.
   */
  found(fromRow: number, toRow: number): ScreenFinding[];
}

/** Rows of the last final cell row stay readable, and one cell row more. */
const CELL_ROWS_KEPT = 2;

/** More rows of cells than this are not kept as tones: they are thresholded as they come, all of them. */
const MOST_WAITING = 20;

/** Sets the bits [from, to) of a row of words. */
function fillWords(words: Int32Array, from: number, to: number): void {
  const first = from >> 5;
  const last = (to - 1) >> 5;
  const head = -1 >>> (from & 31);
  const tail = -1 << (31 - ((to - 1) & 31));
  if (first === last) {
    words[first] = words[first]! | (head & tail);
    return;
  }
  words[first] = words[first]! | head;
  words.fill(-1, first + 1, last);
  words[last] = words[last]! | tail;
}

/** Bits 31, 29, 27 … of a word, drawn together in its lower half. */
function evenBits(word: number): number {
  let bits = (word >>> 1) & 0x55555555;
  bits = (bits | (bits >>> 1)) & 0x33333333;
  bits = (bits | (bits >>> 2)) & 0x0f0f0f0f;
  bits = (bits | (bits >>> 4)) & 0x00ff00ff;
  return (bits | (bits >>> 8)) & 0x0000ffff;
}

/**
 * Lettering and line drawing within a tone picture: finds its cells, thresholds them at full resolution and widens
 * what would not hold; where strokes would run together the screen takes over. A pixel depends on the rows near it
 * alone, so bands of rows may be opened anew as long as `leadInRows` go before them. Rows beyond
 * the picture are the outermost ones, repeated.
 */
export function openLineArt(place: LineArtPlace): LineArt {
  const { widthPx, cellXPx, cellYPx, etchedSide, darkestTone, lightestTone } = place;
  const hold = { x: place.holdXPx, y: place.holdYPx };
  const strokePx = Math.min(WIDEST_STONE_PX, place.strokePx);
  const stroke = { x: Math.max(hold.x, strokePx), y: Math.max(hold.y, strokePx) };
  const half = Math.floor((darkestTone + Math.min(lightestTone, darkestTone)) / 2);
  const flip = etchedSide === 'ink' ? 0 : -1;
  const kinds: TooFine[] = [{ code: 'stroke-too-fine', flip: 0, stone: stroke }];
  if (hold.x > 1 || hold.y > 1) kinds.push({ code: 'gap-too-fine', flip: -1, stone: hold });

  const counted = TALLY_REACH * Math.max(cellXPx, cellYPx);
  const reach = Math.max(holdReachPx(hold), stroke.x + 1, stroke.y + 1, counted) + 1;
  const shape = { words: (widthPx + 31) >> 5, guard: ((reach + 31) >> 5) + 1 };
  const verdictRows = (CELL_ROWS_BELOW + 1) * cellYPx - 1;
  /** Rows are held and looked at for what is too fine when all verdicts in reach are known. */
  const lateRows = Math.ceil(reach / cellYPx) * cellYPx + verdictRows;
  const ownRows = Math.max(holdReachPx(hold), stroke.y);
  const settleRows = lateRows + ownRows;
  const leadInRows = 2 * (Math.max(verdictRows, ownRows) + CELL_ROWS_BELOW * cellYPx);
  const delayRows = settleRows + TALLY_ROWS_BELOW * cellYPx;
  const keepRows = delayRows + (CELL_ROWS_KEPT + TALLY_ROWS_BELOW) * cellYPx + 2; // and the tally's window above
  const keepCellRows = Math.ceil(delayRows / cellYPx) + CELL_ROWS_KEPT + 1;
  const source = createRing(shape, sourceRowsFor(hold) + keepRows);
  const spans = openSpans({ shape, cellYPx, reachPx: reach, keepRows });
  const held = openHold(source, shape, hold, flip, keepRows, spans);
  const count = Math.ceil(widthPx / cellXPx);
  /** Tone rows that have to wait for all the line art in reach of them, if only what lies near it is thresholded. */
  const waitingRows = lateRows + 1;
  const waits = waitingRows <= MOST_WAITING * cellYPx;
  const cellShape = { widthPx, cellXPx, cellYPx, darkestTone, lightestTone };
  const toneRows = Math.max(ROWS * cellYPx, waits ? waitingRows : 0);
  const tones = openToneRows(count * cellXPx, toneRows, lineCellsBytes(cellShape));
  const cells = openLineCells(cellShape, tones, keepCellRows);
  const finers = kinds.map((kind) => openTooFine(source, shape, widthPx, kind, ownRows, spans));

  const tally = openTally(source, held.out, { x: cellXPx, y: cellYPx }, widthPx, keepCellRows);
  const forcedCells = new Uint8Array(count);
  const bytes = new Uint8Array((widthPx + 7) >> 3);

  /** Pixels of line art in a cell row. */
  const markInside = (cellRow: number): void => {
    if (!cells.any(cellRow)) {
      spans.pass(cellRow);
      return;
    }
    const inside = spans.mark(cellRow);
    for (let block = 0, first = 0; first < count; block++, first += BLOCK) {
      for (let bits = cells.verdicts(cellRow, block); bits !== 0; ) {
        const start = Math.clz32(bits);
        const length = Math.clz32(~(bits << start));
        const from = first + start;
        fillWords(inside, from * cellXPx, Math.min(widthPx, (from + length) * cellXPx));
        bits &= start + length === BLOCK ? 0 : -1 >>> (start + length);
      }
    }
  };

  const threshold = (y: number, from: number, to: number): void =>
    thresholdRow(tones.tones, tones.at(y), half, flip, source, y, from, to);

  const row = (tone: Uint16Array, y: number): void => {
    tones.take(tone, y);
    if (!waits) threshold(y, 0, source.stride);
    cells.row(y);
    const judged = Math.floor((y + 1) / cellYPx) - 1 - CELL_ROWS_BELOW;
    if ((y + 1) % cellYPx === 0) markInside(judged);
    if (waits) spans.each(y - lateRows, threshold);
    held.step(y - lateRows);
    for (let i = 0; i < finers.length; i++) finers[i]!.step(y - lateRows);
    const settled = y - settleRows;
    const inside = spans.inside(Math.floor(settled / cellYPx));
    tally.row(settled, inside);
    if (inside !== null) for (let i = 0; i < finers.length; i++) finers[i]!.look(settled, inside);
  };

  /** A cell's pixels fit one word. */
  const isSmall = cellXPx * cellYPx <= 32;
  /** Etched pixels among the columns [from, to) of the cell row's rows. */
  const etchedIn = (from: number, to: number, cellRow: number): number => {
    const { words, guard } = held.out;
    const first = guard + (from >> 5);
    const shift = from & 31;
    const width = to - from;
    let pixels = 0;
    let sum = 0;
    for (let y = cellRow * cellYPx; y < (cellRow + 1) * cellYPx; y++) {
      const at = held.out.at(y) + first;
      const row = ((words[at]! << shift) | ((words[at + 1]! >>> 1) >>> (31 - shift))) >>> (32 - width);
      if (isSmall) pixels = (pixels << width) | row;
      else sum += countWord(row);
    }
    return isSmall ? countWord(pixels) : sum;
  };

  const isPair = cellXPx === 2 && cellYPx === 2;
  /** Cells of 2 × 2, two of whose four pixels are etched at least: sixteen at a time, from a word of each of their rows. */
  const mostOfPairs = (upper: number, lower: number): number => {
    const a = upper << 1;
    const b = lower << 1;
    return evenBits((upper & a) | (lower & b) | ((upper | a) & (lower | b)));
  };
  /** Which of the cells `asked` of a block are mostly etched; the others do not matter. */
  const mostlyEtched = (cellRow: number, block: number, asked: number): number => {
    const first = block * BLOCK;
    if (isPair && (first + BLOCK) * cellXPx <= widthPx) {
      const { words, guard } = held.out;
      const upper = held.out.at(cellRow * cellYPx) + guard + 2 * block;
      const lower = held.out.at(cellRow * cellYPx + 1) + guard + 2 * block;
      const left = mostOfPairs(words[upper]!, words[lower]!);
      return (left << 16) | mostOfPairs(words[upper + 1]!, words[lower + 1]!);
    }
    let word = 0;
    for (let bits = asked; bits !== 0; ) {
      const bit = Math.clz32(bits);
      bits ^= 0x80000000 >>> bit;
      const from = (first + bit) * cellXPx;
      const to = Math.min(widthPx, from + cellXPx);
      if (2 * etchedIn(from, to, cellRow) >= (to - from) * cellYPx) word |= 0x80000000 >>> bit;
    }
    return word;
  };

  const forceBlock = (cellRow: number, block: number, asked: number): void => {
    const first = block * BLOCK;
    const claimed = asked & ~tally.changed(cellRow, first, asked);
    const etched = mostlyEtched(cellRow, block, claimed);
    const last = Math.min(count, first + BLOCK);
    // 0 is the screen's, 1 shifted by 0 or 1 is kept or etched
    for (let c = first, s = BLOCK - 1; c < last; c++, s--)
      forcedCells[c] = ((claimed >>> s) & 1) << ((etched >>> s) & 1);
  };

  const anyIn = (cellRow: number, block: number): boolean => cells.verdicts(cellRow, block) !== 0;
  const forced = (cellRow: number): Uint8Array => {
    forcedCells.fill(FORCED.screen);
    if (!cells.any(cellRow)) return forcedCells;
    for (let block = 0; block * BLOCK < count; block++) {
      const asked = cells.verdicts(cellRow, block);
      if (asked !== 0) forceBlock(cellRow, block, asked);
    }
    return forcedCells;
  };

  const etchedRow = (y: number): Uint8Array => {
    const inside = spans.inside(Math.floor(y / cellYPx));
    if (inside === null) return bytes.fill(0);
    storeRow(held.out, y, inside, bytes);
    return bytes;
  };
  const found = (fromRow: number, toRow: number): ScreenFinding[] =>
    finers.flatMap((finer) => finer.found(fromRow, toRow));
  return { delayRows, leadInRows, row, forced, any: cells.any, anyIn, etchedRow, found };
}
