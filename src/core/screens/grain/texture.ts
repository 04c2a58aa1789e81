import { grainThresholds } from './mask.ts';

/** A pattern laid over the cells of a plate again and again: what it adds to the tone from which on a cell is ink. */
export interface Texture {
  /** A power of two. */
  readonly sideCells: number;
  /** Row by row, −32768 … 32767 of a tone's 65536 steps; their mean is 0. */
  readonly offsets: Int16Array;
}

/** Least even tile for grains of three cells that shows no pattern of its own. */
const SIDE_CELLS = 256;

/** The grain at the scale of cells: three cells from grain to grain, single cells hold. Same seed and plate, same texture. */
export function grainTexture(seed: number, plate: number): Texture {
  const thresholds = grainThresholds({
    side: SIDE_CELLS,
    periodPx: 3,
    irregularity: 0,
    markPx: 1,
    sweptPx: 0,
    landPx: 1,
    seed,
    plate,
  });
  const offsets = Int16Array.from(thresholds, (share) =>
    Math.max(-32768, Math.min(32767, Math.round((share - 0.5) * 65536))),
  );
  return { sideCells: SIDE_CELLS, offsets };
}
