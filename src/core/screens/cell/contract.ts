/** The loops over rows of pixels and cells, and what they keep. */
export interface CellLoops {
  /** Adds a row of ink tone, 0 … 65535, the `row`th of a row of cells, to the sums of a waiting row of cells; 0 begins anew. */
  add(tone: Uint16Array, waiting: number, row: number): void;
  /** Reads the sums of a waiting row of cells as `tones`. */
  read(waiting: number): void;
  /** Wanted etched tones of the row of cells that was read last, `KEPT` or `ETCHED` once they are so marked. */
  readonly tones: Int32Array;
  /** A word for each cell, and one more on each side: see `diffuseRow`. */
  readonly kept: Int32Array;
  /** What the texture adds to the limits of the row of cells. */
  readonly moved: Int32Array;
  /** Screens `tones` from left to right, or back. */
  diffuse(back: boolean): void;
  /** The cells that were drawn, packed, once `pack` has run. */
  readonly bits: Uint8Array;
  pack(): void;
}
