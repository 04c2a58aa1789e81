import { strideFor } from '../../bitmap.ts';
import { diffuseRow, packCells } from './diffuse.ts';
import { addRow, type CellTones, createSums, readTones } from './sums.ts';
import { openVectorLoops } from './vector.ts';

/** What a row of cells is worked out by, and from. */
export interface LoopsPlace extends CellTones {
  readonly cells: number;
  /** Rows of cells whose tones are gathered before the first of them is screened. */
  readonly waiting: number;
  /** See `rulesFor`. */
  readonly rules: Int32Array;
  /** Cells after which the texture begins anew, a power of two. */
  readonly textureCells: number;
}

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

/** By vectors and WebAssembly where the engine has them, to the same bits. */
export const openLoops = (place: LoopsPlace): CellLoops => openVectorLoops(place) ?? openPlainLoops(place);

/** In plain loops: for engines without, for very wide cells, and what the others are held to. */
export function openPlainLoops(place: LoopsPlace): CellLoops {
  const { cells, cellPx, waiting, rules, textureCells } = place;
  const sums = Array.from({ length: waiting }, () => createSums(cells, cellPx));
  const tones = new Int32Array(cells);
  const kept = new Int32Array(cells + 2);
  const moved = new Int32Array(textureCells);
  const bits = new Uint8Array(strideFor(cells));
  let carried = 0;
  return {
    tones,
    kept,
    moved,
    bits,
    add: (tone, to, row) => addRow(tone, sums[to]!, cellPx.x, row === 0),
    read: (from) => readTones(sums[from]!, place, tones),
    diffuse(back) {
      carried = back
        ? diffuseRow(tones, kept, rules, moved, cells - 1, -1, -1, carried)
        : diffuseRow(tones, kept, rules, moved, 0, cells, 1, carried);
    },
    pack: () => packCells(kept, cells, bits),
  };
}
