/** Pixels along a side of a cell. */
export type CellSide = 2 | 4;

/** Sums over cells of the rows [from, to), times `share`. */
export type CellSums = (from: number, to: number, share: number, into: Float32Array) => void;
