/** Nodes along each side of the lattice over sRGB codes, every fourth code or nearly. */
export const SIDE = 65;
const CELLS = SIDE - 1;
/** The last code of a channel. */
export const TOP_CODE = 255;

/** Where the nodes lie and which ones a code is between. */
export interface LatticePlaces {
  readonly nodes: number;
  /** Nodes from one to the next in red, green and blue. */
  readonly steps: readonly [number, number, number];
  /** Cell by code, and 255ths of it; the last code lies at the end of the last cell. */
  readonly cell: Int32Array;
  readonly part: Int32Array;
}

/** The places, made anew. */
export function latticePlaces(): LatticePlaces {
  const cell = new Int32Array(TOP_CODE + 1);
  const part = new Int32Array(TOP_CODE + 1);
  for (let code = 0; code <= TOP_CODE; code++) {
    cell[code] = Math.min(CELLS - 1, Math.floor((code * CELLS) / TOP_CODE));
    part[code] = code * CELLS - cell[code]! * TOP_CODE;
  }
  return { nodes: SIDE ** 3, steps: [SIDE * SIDE, SIDE, 1], cell, part };
}
