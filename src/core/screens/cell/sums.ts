import { FULL } from './diffuse.ts';
import type { Span } from './size.ts';

/** One sum a cell. */
export type Sums = Int32Array | Float64Array;

/** Room for the tone of all pixels of each cell: whole numbers, in floats where cells are so large that 32 bits do not hold them. */
export const createSums = (cells: number, { x, y }: Span): Sums =>
  65535 * x * y < 2 ** 31 ? new Int32Array(cells) : new Float64Array(cells);

/** Cells two pixels wide, four at a time: two thirds of the time of one by one. */
function addPairs(tone: Uint16Array, sums: Sums, whole: number, anew: boolean): void {
  const fours = whole & ~3;
  if (anew) sums.fill(0, fours);
  let i = 0;
  let x = 0;
  if (anew)
    for (; i < fours; i += 4, x += 8) {
      sums[i] = tone[x]! + tone[x + 1]!;
      sums[i + 1] = tone[x + 2]! + tone[x + 3]!;
      sums[i + 2] = tone[x + 4]! + tone[x + 5]!;
      sums[i + 3] = tone[x + 6]! + tone[x + 7]!;
    }
  else
    for (; i < fours; i += 4, x += 8) {
      sums[i]! += tone[x]! + tone[x + 1]!;
      sums[i + 1]! += tone[x + 2]! + tone[x + 3]!;
      sums[i + 2]! += tone[x + 4]! + tone[x + 5]!;
      sums[i + 3]! += tone[x + 6]! + tone[x + 7]!;
    }
  for (; i < whole; i++, x += 2) sums[i]! += tone[x]! + tone[x + 1]!;
}

/** Cells of a width that is not written out, four pixels at a time. */
function addWide(tone: Uint16Array, sums: Sums, whole: number, cellX: number): void {
  const rest = cellX & 3;
  for (let i = 0, x = 0; i < whole; i++) {
    let sum = 0;
    const fours = x + cellX - rest;
    for (; x < fours; x += 4) sum += tone[x]! + tone[x + 1]! + tone[x + 2]! + tone[x + 3]!;
    for (const end = fours + rest; x < end; x++) sum += tone[x]!;
    sums[i]! += sum;
  }
}

/**
 * Adds one row of tone, 0 … 65535, to the cells it crosses, each `cellX` pixels wide, or begins `anew` with it. The loops
 * for narrow cells are written out: a quarter of the time at five pixels; wider ones go four by four, in two thirds to
 * four fifths of it.
 */
export function addRow(tone: Uint16Array, sums: Sums, cellX: number, anew: boolean): void {
  const whole = Math.floor(tone.length / cellX);
  if (anew && cellX !== 2) sums.fill(0);
  if (cellX === 2) addPairs(tone, sums, whole, anew);
  else if (cellX === 3)
    for (let i = 0, x = 0; i < whole; i++, x += 3) sums[i]! += tone[x]! + tone[x + 1]! + tone[x + 2]!;
  else if (cellX === 4)
    for (let i = 0, x = 0; i < whole; i++, x += 4)
      sums[i]! += tone[x]! + tone[x + 1]! + tone[x + 2]! + tone[x + 3]!;
  else if (cellX === 5)
    for (let i = 0, x = 0; i < whole; i++, x += 5)
      sums[i]! += tone[x]! + tone[x + 1]! + tone[x + 2]! + tone[x + 3]! + tone[x + 4]!;
  else addWide(tone, sums, whole, cellX);
  // the right edge may cut the last cell
  for (let x = whole * cellX; x < tone.length; x++) sums[whole]! += tone[x]!;
}

/** How sums of ink become wanted etched tone. */
export interface CellTones {
  readonly widthPx: number;
  readonly cellPx: Span;
  /** True where the paper is etched. */
  readonly turned: boolean;
  /** What a solid etches, 0 … FULL: nothing but a solid can ask for more. */
  readonly most: number;
}

/** What turns the sum of so many pixels into etched tone, and the most that comes of any but a solid. */
export function scaleOf({ turned, most }: CellTones, pixels: number) {
  return { base: turned ? FULL : 0, scale: (turned ? -1 : 1) * (FULL / (65535 * pixels)), most };
}

/** Mean of each cell as etched tone, 0 … FULL; a cell that the right edge cuts has the mean of the pixels it has. */
export function readTones(sums: Sums, place: CellTones, tones: Int32Array): void {
  toTones(sums, tones, 0, tones.length - 1, scaleOf(place, place.cellPx.x * place.cellPx.y));
  readLast(sums, place, tones);
}

/** The same of the last cell alone. */
export function readLast(sums: Sums, place: CellTones, tones: Int32Array): void {
  const last = tones.length - 1;
  const lastPx = place.widthPx - last * place.cellPx.x;
  toTones(sums, tones, last, last + 1, scaleOf(place, lastPx * place.cellPx.y));
}

function toTones(
  sums: Sums,
  tones: Int32Array,
  from: number,
  to: number,
  { base, scale, most }: ReturnType<typeof scaleOf>,
): void {
  // whole numbers where they do: half the time of the same in floats; and where a solid is etched whole, nothing asks for more
  if (Number.isInteger(scale) && most >= FULL)
    for (let i = from; i < to; i++) tones[i] = base + Math.imul(sums[i]!, scale);
  else if (Number.isInteger(scale))
    for (let i = from; i < to; i++) {
      const tone = (base + Math.imul(sums[i]!, scale)) | 0;
      tones[i] = tone > most && tone < FULL ? most : tone;
    }
  else
    for (let i = from; i < to; i++) {
      const tone = (base + scale * sums[i]! + 0.5) | 0;
      tones[i] = tone > most && tone < FULL ? most : tone;
    }
}
