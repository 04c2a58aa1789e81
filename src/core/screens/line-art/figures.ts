/** How tones of cells are read, and room for how many. */
export interface FiguresShape {
  readonly cellXPx: number;
  readonly cellYPx: number;
  /** Taken from every tone; what lies below counts as 0. */
  readonly low: number;
  /** Tone of a solid, so read; at least 1. */
  readonly full: number;
  /** Cells that are kept. Up to three more than are gathered are written to. */
  readonly cells: number;
  /** Words of bits that are kept. */
  readonly words: number;
  /** One for each of `PLANE_OF`. */
  readonly limits: readonly number[];
}

/** What is kept of each cell: its least and most tone, and the sum of its tones' distances from the nearer of 0 and full. */
export interface CellFigures {
  readonly least: Int32Array;
  readonly most: Int32Array;
  readonly between: Int32Array;
  /** Gathers `count` cells, 32 at most, whose first tone stands at index `start`, as those from index `to` on. */
  gather(start: number, count: number, to: number): void;
  readonly planes: Int32Array;
  /** Writes a word for each of `PLANE_OF` from index `at` of the planes on: `count` cells from index `from` on, the first in bit 31. */
  mark(from: number, count: number, at: number): void;
}
