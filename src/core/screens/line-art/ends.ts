import { NOTED_PX } from './note.ts';
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
   * Which units of `NOTED_PX` pixels have cells whose windows may hold dark and light pixels, a bit each, the leftmost in bit 31:
   * of the row of cells `reach` rows above the last one taken. Good until the next call.
   */
  meet(): Int32Array;
}

/**
 * Opens the search for places where both ends of tone lie within one window of cells. It may find more, never less: a
 * unit of pixels that holds an end anywhere has it everywhere.
 */
export function openEnds(tones: ToneRows, shape: EndsShape): Ends {
  const { cellXPx, cellYPx, reach, darkAbove, lightBelow } = shape;
  // the limits that upper 15 bits of a tone can tell
  const darkFrom = (darkAbove + 1) & ~1;
  const lightTo = (lightBelow - 1) | 1;
  const groups = tones.dark.length;
  const cellRows = 2 * reach + 1;
  const dark = new Int32Array(groups * cellRows);
  const light = new Int32Array(groups * cellRows);
  /** Units to either side that the window of a unit's cells may reach into: cells may begin in the unit before. */
  const beside = Math.ceil(((reach + 1) * cellXPx) / NOTED_PX);
  const met = new Int32Array(groups);
  const slot = (cellRow: number): number => (((cellRow % cellRows) + cellRows) % cellRows) * groups;

  /** A group of a window's rows together. */
  const windowOf = (ends: Int32Array, group: number): number => {
    let any = 0;
    if (group >= 0 && group < groups) for (let i = group; i < ends.length; i += groups) any |= ends[i]!;
    return any;
  };
  /** The same, spread over the units beside. */
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
      tones.note(y, darkFrom, lightTo);
      const first = y === cellRow * cellYPx;
      for (let group = 0; group < groups; group++) {
        dark[to + group] = (first ? 0 : dark[to + group]!) | tones.dark[group]!;
        light[to + group] = (first ? 0 : light[to + group]!) | tones.light[group]!;
      }
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
