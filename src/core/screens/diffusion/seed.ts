import { rowStream } from '../../rng.ts';
import type { DiffusionRun } from './contract.ts';

/** Largest error a pixel can leave behind, in tone: half of the full range, rounded down. */
const LARGEST_ERROR_TONE = 32767;

/**
 * Fills the error row that the first row finds with even noise of mean 0, so that light tones do not wait for
 * many rows until their first dot. `share` is the part of a pixel's error that comes from above: with it
 * the noise is never larger than error that a real row could have left.
 */
export function seedErrorRow(
  errors: Int32Array,
  run: DiffusionRun,
  share: number,
  unitsPerTone: number,
): void {
  const amplitude = LARGEST_ERROR_TONE * unitsPerTone * share * run.noise;
  if (amplitude === 0) return;
  const next = rowStream(run.seed, run.plate, run.firstRow);
  for (let i = 0; i < errors.length; i++) errors[i] = Math.round((next() / 0x80000000 - 1) * amplitude);
}
