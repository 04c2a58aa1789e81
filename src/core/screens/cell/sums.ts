import { FULL } from './diffuse.ts';
import type { Span } from './size.ts';

/** One sum a cell. */
export type Sums = Int32Array | Float64Array;

/** Room for the tone of all pixels of each cell: whole numbers, in floats where cells are so large that 32 bits do not hold them. */
export const createSums = (cells: number, { x, y }: Span): Sums =>
  65535 * x * y < 2 ** 31 ? new Int32Array(cells) : new Float64Array(cells);

/** Adds one row of tone to the cells it crosses. The loops for narrow cells are written out: twice as fast as the one for all. */
export function addRow(tone: Uint16Array, sums: Sums, cellX: number): void {
  const whole = Math.floor(tone.length / cellX);
  let x = 0;
  if (cellX === 2) for (let i = 0; i < whole; i++, x += 2) sums[i]! += tone[x]! + tone[x + 1]!;
  else if (cellX === 3)
    for (let i = 0; i < whole; i++, x += 3) sums[i]! += tone[x]! + tone[x + 1]! + tone[x + 2]!;
  else
    for (let i = 0; i < whole; i++) {
      let sum = 0;
      for (const end = x + cellX; x < end; x++) sum += tone[x]!;
      sums[i]! += sum;
    }
  for (; x < tone.length; x++) sums[whole]! += tone[x]!;
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

/** Mean of each cell as etched tone, 0 … FULL; a cell that the right edge cuts has the mean of the pixels it has. */
export function readTones(sums: Sums, { widthPx, cellPx, turned, most }: CellTones, tones: Int32Array): void {
  const cells = tones.length;
  const lastPx = widthPx - (cells - 1) * cellPx.x;
  toTones(0, cells - 1, cellPx.x * cellPx.y);
  toTones(cells - 1, cells, lastPx * cellPx.y);

  function toTones(from: number, to: number, pixels: number): void {
    const full = 65535 * pixels;
    const scale = FULL / full;
    const base = turned ? full : 0;
    const sign = turned ? -1 : 1;
    for (let i = from; i < to; i++) {
      const tone = ((base + sign * sums[i]!) * scale + 0.5) | 0;
      tones[i] = tone > most && tone < FULL ? most : tone;
    }
  }
}
