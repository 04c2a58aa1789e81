import { rowStream } from '../../rng.ts';
import type { DiffusionRun } from './contract.ts';

/** Largest error a pixel can leave behind with the threshold in the middle, in tone. */
const LARGEST_ERROR_TONE = 32767;

/** Spread of the error between its ends, in parts of the full range, at tone g: this times √g; measured, 1.1 … 1.7. */
const SPREAD = 1.4;

/**
 * Fills a row of errors, one a pixel, as if the rows above had left them. Without it, light tones wait many rows for
 * their first dot: in the long run most pixels carry nearly the error that makes a dot, and the fewer dots there are
 * the nearer. So errors are drawn evenly from a span that ends at the largest error and widens with the tone;
 * dark tones the other way round, bare paper and solids about 0. `row` numbers the row that would have left them,
 * `scale` turns tone into what the cells hold.
 */
export function seedRow(
  cells: Int32Array,
  tone: Uint16Array,
  run: Pick<DiffusionRun, 'noise' | 'seed' | 'plate'>,
  row: number,
  scale: number,
): void {
  if (run.noise === 0) return;
  const next = rowStream(run.seed, run.plate, row);
  for (let i = 0; i < cells.length; i++) {
    const t = tone[i]!;
    const g = Math.min(t, 65535 - t) / 65535;
    const span = g === 0 ? 1 : Math.min(1, SPREAD * Math.sqrt(g));
    const error = LARGEST_ERROR_TONE * (1 - (2 * span * next()) / 2 ** 32);
    cells[i] = Math.round((t > 32767 ? -error : error) * scale * run.noise);
  }
}

/** Fills `noise` with the random numbers of one row: odd, −255 … 255, of mean 0; its length is a multiple of 4. */
export function noiseRow(noise: Int16Array, run: DiffusionRun, y: number): void {
  const next = rowStream(run.seed, run.plate, y);
  for (let i = 0; i < noise.length; i += 4) {
    const word = next();
    noise[i] = ((word & 0xff) << 1) - 255;
    noise[i + 1] = (((word >>> 8) & 0xff) << 1) - 255;
    noise[i + 2] = (((word >>> 16) & 0xff) << 1) - 255;
    noise[i + 3] = ((word >>> 24) << 1) - 255;
  }
}
