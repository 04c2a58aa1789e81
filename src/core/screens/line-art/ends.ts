import type { ToneRows } from './tones.ts';

/** Cells in px, their window in cells, and the two ends of tone, 0 … 65535. */
export interface EndsShape {
  readonly cellXPx: number;
  readonly cellYPx: number;
  /** Cells to either side, and rows of cells above and below, that belong to a cell's window. */
  readonly reach: number;
  /** A tone above it counts as dark, one below `lightBelow` as light; the tone next to either may count as well. */
  readonly darkAbove: number;
  readonly lightBelow: number;
}

/** Where both ends of tone lie close together: the first and cheapest question, asked of every pixel. */
export interface Ends {
  /** Takes row y, which `tones` has taken; rows in order, the first a whole multiple of the cell's height. */
  row(y: number): void;
  /**
   * Which words of 32 pixels have cells whose windows may hold dark and light pixels, a bit each, the leftmost in bit 31:
   * of the row of cells `reach` rows above the last one taken. Good until the next call.
   */
  meet(): Int32Array;
}

/** The same number in both halves of 32 bits. */
const BOTH = 0x10001;

/**
 * Adds to `dark` and `light`, from index `to` on, a bit for each word of 32 pixels that has any. Differences from the
 * limits, or-ed together, have their sign where one of them had; two tones at a time on their upper 15 bits, which
 * nothing carries out of. The two that are added are worked out here, so that they are known to be 32 bits.
 */
function noteRow(
  pairs: Int32Array,
  from: number,
  words: number,
  darkAbove: number,
  lightBelow: number,
  dark: Int32Array,
  light: Int32Array,
  to: number,
): void {
  const darkAdd = Math.imul(BOTH, 0x8000 - ((darkAbove + 1) >> 1));
  const lightFrom = Math.imul(BOTH, 0x8000 + ((lightBelow - 1) >> 1));
  for (let k = 0, i = from | 0; k < words; k++) {
    let darks = 0;
    let lights = 0;
    for (const end = i + 16; i < end; i += 4) {
      const a = (pairs[i]! >>> 1) & 0x7fff7fff;
      const b = (pairs[i + 1]! >>> 1) & 0x7fff7fff;
      const c = (pairs[i + 2]! >>> 1) & 0x7fff7fff;
      const d = (pairs[i + 3]! >>> 1) & 0x7fff7fff;
      darks |= (a + darkAdd) | (b + darkAdd) | (c + darkAdd) | (d + darkAdd);
      lights |= (lightFrom - a) | (lightFrom - b) | (lightFrom - c) | (lightFrom - d);
    }
    const at = to + (k >> 5);
    dark[at]! |= ((darks | (darks << 16)) & 0x80000000) >>> (k & 31);
    light[at]! |= ((lights | (lights << 16)) & 0x80000000) >>> (k & 31);
  }
}

/**
 * Opens the search for places where both ends of tone lie within one window of cells. It may find more, never less: 32
 * pixels that hold an end anywhere have it everywhere.
 */
export function openEnds(tones: ToneRows, shape: EndsShape): Ends {
  const { cellXPx, cellYPx, reach, darkAbove, lightBelow } = shape;
  const { pairs } = tones;
  const words = tones.rowPx >> 5;
  const groups = (words + 31) >> 5;
  const cellRows = 2 * reach + 1;
  const dark = new Int32Array(groups * cellRows);
  const light = new Int32Array(groups * cellRows);
  /** Words to either side that the window of a word's cells may reach into: cells may begin in the word before. */
  const beside = Math.ceil(((reach + 1) * cellXPx) / 32);
  const met = new Int32Array(groups);
  const slot = (cellRow: number): number => (((cellRow % cellRows) + cellRows) % cellRows) * groups;

  /** A group of a window's rows together. */
  const windowOf = (ends: Int32Array, group: number): number => {
    let any = 0;
    if (group >= 0 && group < groups) for (let i = group; i < ends.length; i += groups) any |= ends[i]!;
    return any;
  };
  /** The same, spread over the words beside. */
  const near = (before: number, here: number, after: number): number => {
    let any = here;
    for (let s = 1; s <= beside; s++)
      any |= (here << s) | (after >>> (32 - s)) | (here >>> s) | (before << (32 - s));
    return any;
  };

  return {
    row(y) {
      const cellRow = Math.floor(y / cellYPx);
      const to = slot(cellRow);
      if (y === cellRow * cellYPx) {
        dark.fill(0, to, to + groups);
        light.fill(0, to, to + groups);
      }
      noteRow(pairs, tones.at(y) >> 1, words, darkAbove, lightBelow, dark, light, to);
    },
    meet() {
      let darkBefore = 0;
      let lightBefore = 0;
      let darkHere = windowOf(dark, 0);
      let lightHere = windowOf(light, 0);
      for (let group = 0; group < groups; group++) {
        const darkAfter = windowOf(dark, group + 1);
        const lightAfter = windowOf(light, group + 1);
        met[group] = near(darkBefore, darkHere, darkAfter) & near(lightBefore, lightHere, lightAfter);
        darkBefore = darkHere;
        lightBefore = lightHere;
        darkHere = darkAfter;
        lightHere = lightAfter;
      }
      return met;
    },
  };
}
