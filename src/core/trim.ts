import { type Bitmap, tailMask } from './bitmap.ts';
import { octagonFor, openWords } from './hold/opening.ts';
import { andFromLeft, andFromRight, BLOCK_ROWS, loadRow, orFromLeft, orFromRight } from './hold/words.ts';
import type { Trim } from './screens/contract.ts';

/** Rows beside a band that its trim reads. */
export interface TrimReach {
  readonly upRows: number;
  readonly downRows: number;
}

/** How far above and below a row its trim looks: an opening and a closing both ways, the erosion downwards. */
export function trimReach({ marksPx, landsPx, erodePx }: Trim): TrimReach {
  const hold = marksPx.y - 1 + landsPx.y - 1;
  return { upRows: hold, downRows: hold + erodePx.y - 1 };
}

/** The trim of what needs no openings: the erosion alone. */
export const erosionOnly = (trim: Trim): Trim => ({
  ...trim,
  marksPx: { x: 1, y: 1 },
  landsPx: { x: 1, y: 1 },
});

/** The untrimmed rows above and below a band, packed as in the bitmap; the outermost row of a plate goes on beyond it. */
export interface Seams {
  readonly above: Uint8Array;
  readonly below: Uint8Array;
}

function copyRows({ data, strideBytes, heightPx }: Bitmap, fromRow: number, rows: number): Uint8Array {
  const copy = new Uint8Array(rows * strideBytes);
  for (let i = 0; i < rows; i++) {
    const y = Math.min(heightPx - 1, Math.max(0, fromRow + i));
    copy.set(data.subarray(y * strideBytes, (y + 1) * strideBytes), i * strideBytes);
  }
  return copy;
}

/** Saves what the trim of the rows [fromRow, toRow) needs of its neighbours; to be done for all bands before the first is trimmed. */
export function seamsOf(map: Bitmap, trim: Trim, fromRow: number, toRow: number): Seams {
  const { upRows, downRows } = trimReach(trim);
  return { above: copyRows(map, fromRow - upRows, upRows), below: copyRows(map, toRow, downRows) };
}

/** Words of some rows with guards on both sides, in which the outermost pixels go on. */
interface Sheet {
  readonly words: Int32Array;
  readonly stride: number;
  readonly guard: number;
}

function loadSheetRow(sheet: Sheet, index: number, map: Bitmap, y: number): void {
  const { words, stride, guard } = sheet;
  const at = index * stride;
  const row = y * map.strideBytes;
  const last = map.widthPx - 1;
  const left = map.data[row]! & 0x80 ? -1 : 0;
  const right = map.data[row + (last >> 3)]! & (0x80 >> (last & 7)) ? -1 : 0;
  words.fill(left, at, at + guard);
  words.fill(right, at + stride - guard, at + stride);
  loadRow(map, y, 0, right, words, at + guard);
}

function storeSheetRow(sheet: Sheet, index: number, map: Bitmap, y: number): void {
  const { words, stride, guard } = sheet;
  const { data, strideBytes, widthPx } = map;
  const from = index * stride + guard;
  const at = y * strideBytes;
  for (let i = 0; i < strideBytes; i++) data[at + i] = words[from + (i >> 2)]! >>> (24 - ((i & 3) << 3));
  data[at + strideBytes - 1] = data[at + strideBytes - 1]! & tailMask(widthPx);
}

type JoinRows = (words: Int32Array, to: number, from: number, stride: number, shift: number) => void;

/** Joins every pixel with the `reach` − 1 next ones along its row, by doubling. */
function alongRows({ words, stride }: Sheet, reach: number, join: JoinRows): void {
  for (let done = 1; done < reach; ) {
    const shift = Math.min(done, reach - done);
    for (let at = 0; at < words.length; at += stride) join(words, at, at, stride, shift);
    done += shift;
  }
}

/** Likewise with the rows below (`and`, `or`), or above with a negative `towards`; rows off the sheet do not count. */
function acrossRows({ words, stride }: Sheet, reach: number, isAnd: boolean, towards: 1 | -1): void {
  for (let done = 1; done < reach; ) {
    const shift = Math.min(done, reach - done) * stride;
    const end = words.length - shift;
    if (towards === 1) {
      if (isAnd) for (let i = 0; i < end; i++) words[i] = words[i]! & words[i + shift]!;
      else for (let i = 0; i < end; i++) words[i] = words[i]! | words[i + shift]!;
    } else if (isAnd)
      for (let i = words.length - 1; i >= shift; i--) words[i] = words[i]! & words[i - shift]!;
    else for (let i = words.length - 1; i >= shift; i--) words[i] = words[i]! | words[i - shift]!;
    done += shift / stride;
  }
}

function complement(words: Int32Array): void {
  for (let i = 0; i < words.length; i++) words[i] = ~words[i]!;
}

/** Leaves what the square of a width covers, or its octagon. `spare` is room for as many words. */
function openEither({ words, stride }: Sheet, widthPx: number, spare: Int32Array): void {
  if (widthPx === 1) return;
  const octagon = octagonFor(widthPx);
  spare.set(words);
  openWords(words, stride, { square: widthPx, slant: 0 });
  if (octagon.slant === 0) return;
  openWords(spare, stride, octagon);
  for (let i = 0; i < words.length; i++) words[i] = words[i]! | spare[i]!;
}

function holdEither(sheet: Sheet, { marksPx, landsPx }: Trim, spare: Int32Array): void {
  openEither(sheet, marksPx.x, spare);
  complement(sheet.words);
  openEither(sheet, landsPx.x, spare);
  complement(sheet.words);
}

/** Opening of the etched side, then of the kept one; openings after G. Matheron 1975 and J. Serra 1982 (from memory). */
function hold(sheet: Sheet, { marksPx, landsPx }: Trim): void {
  alongRows(sheet, marksPx.x, andFromRight);
  acrossRows(sheet, marksPx.y, true, 1);
  alongRows(sheet, marksPx.x, orFromLeft);
  acrossRows(sheet, marksPx.y, false, -1);
  alongRows(sheet, landsPx.x, orFromRight);
  acrossRows(sheet, landsPx.y, false, 1);
  alongRows(sheet, landsPx.x, andFromLeft);
  acrossRows(sheet, landsPx.y, true, -1);
}

/**
 * Trims the etched side (bit 1 = etched) of the rows [fromRow, toRow), in place: openings of marks and of lands, so
 * that none is narrower, then erosion, which leaves the pulses whose spots fill the marks.
 * Bands may be trimmed in any order once the seams of all have been saved: the bits do not depend on the banding.
 */
export function trimRows(map: Bitmap, trim: Trim, fromRow: number, toRow: number, seams: Seams): void {
  const { upRows, downRows } = trimReach(trim);
  const { strideBytes } = map;
  const { marksPx, landsPx, erodePx } = trim;
  const reachPx = 2 * (marksPx.x - 1 + landsPx.x - 1) + erodePx.x;
  const guard = (reachPx + 31) >> 5;
  const stride = ((map.widthPx + 31) >> 5) + 2 * guard;
  const sheet: Sheet = {
    words: new Int32Array(stride * (upRows + BLOCK_ROWS + downRows)),
    stride,
    guard,
  };
  const beside = (data: Uint8Array): Bitmap => ({ ...map, heightPx: data.length / strideBytes, data });
  const below = beside(seams.below);
  let above = beside(seams.above);
  const spare = new Int32Array(trim.withOctagons ? sheet.words.length : 0);
  const doesHold = Math.max(marksPx.x, marksPx.y, landsPx.x, landsPx.y) > 1;
  for (let top = fromRow; top < toRow; top += BLOCK_ROWS) {
    const own = Math.min(BLOCK_ROWS, toRow - top);
    const rows = upRows + own + downRows;
    for (let i = 0; i < rows; i++) {
      const y = top - upRows + i;
      if (y < top) loadSheetRow(sheet, i, above, i);
      else if (y < toRow) loadSheetRow(sheet, i, map, y);
      else loadSheetRow(sheet, i, below, y - toRow);
    }
    const saved = top + own < toRow ? beside(keptRows(above, map, top, own, upRows)) : above;
    const used: Sheet = { ...sheet, words: sheet.words.subarray(0, rows * stride) };
    if (doesHold && trim.withOctagons) holdEither(used, trim, spare.subarray(0, used.words.length));
    else if (doesHold) hold(used, trim);
    alongRows(used, erodePx.x, andFromRight);
    acrossRows(used, erodePx.y, true, 1);
    for (let i = 0; i < own; i++) storeSheetRow(used, upRows + i, map, top + i);
    above = saved;
  }
}

/** The last `count` untrimmed rows before the end of a block, some of which may lie above it. */
function keptRows(above: Bitmap, map: Bitmap, top: number, own: number, count: number): Uint8Array {
  const { strideBytes } = map;
  const kept = new Uint8Array(count * strideBytes);
  for (let i = 0; i < count; i++) {
    const y = top + own - count + i;
    const [from, at] = y < top ? [above.data, count - (top - y)] : [map.data, y];
    kept.set(from.subarray(at * strideBytes, (at + 1) * strideBytes), i * strideBytes);
  }
  return kept;
}
