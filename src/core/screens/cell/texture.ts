import { openFft2d } from '../../fft.ts';
import { rowStream } from '../../rng.ts';

/** A tile that moves the threshold from cell to cell and so gives flat tones their grain. */
export interface CellTexture {
  /** Cells along each side; a power of two. */
  readonly sideCells: number;
  /** Row by row, evenly spread over −32768 … 32767: by how many 65536ths of full tone the threshold moves at texture 1. */
  readonly offsets: Int16Array;
}

const SIDE_CELLS = 256;

/** Cells from one grain to the next, and how much wider or narrower that may be. */
const PERIOD_CELLS = 3;
const SPREAD = 0.15;

/**
 * Grain about as coarse in every direction: noise of which only a ring of frequencies is left, then evened out by rank.
 * Depends on seed and plate alone.
 */
export function grainTexture(seed: number, plate: number): CellTexture {
  const side = SIDE_CELLS;
  const re = new Float64Array(side * side);
  const im = new Float64Array(side * side);
  for (let y = 0; y < side; y++) {
    const next = rowStream(seed, plate, y);
    for (let x = 0; x < side; x++) re[y * side + x] = next() / 2 ** 32 - 0.5;
  }
  const fft = openFft2d(side);
  fft(re, im);
  for (let y = 0; y < side; y++)
    for (let x = 0; x < side; x++) {
      const periods = Math.hypot(Math.min(x, side - x), Math.min(y, side - y)) / side;
      const off = (periods * PERIOD_CELLS - 1) / SPREAD;
      const kept = Math.exp(-off * off);
      re[y * side + x] = re[y * side + x]! * kept;
      im[y * side + x] = im[y * side + x]! * kept;
    }
  // with both parts swapped the transform runs backwards; its scale does not matter to ranks
  fft(im, re);
  const order = Uint32Array.from(re, (_, i) => i).sort((a, b) => re[a]! - re[b]! || a - b);
  const offsets = new Int16Array(side * side);
  const perRank = 65536 / order.length;
  for (let rank = 0; rank < order.length; rank++)
    offsets[order[rank]!] = Math.floor((rank + 0.5) * perRank) - 32768;
  return { sideCells: side, offsets };
}
