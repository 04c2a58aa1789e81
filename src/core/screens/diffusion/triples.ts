import type { ScreenRow } from '../contract.ts';
import type { DiffusionRun } from './contract.ts';
import { noiseRow, seedRow } from './noise.ts';
import { NEVER } from './units.ts';

/** Weights for the pixel ahead, the one below and behind, the one below; only their ratio counts. */
export type Triple = readonly [ahead: number, belowBehind: number, below: number];

/** Error is kept in 1/4 of a tone step and shares in 1/4096: a product fits 32 bit with room for five errors in one. */
const UNIT_BITS = 2;
const SHARE_BITS = 12;
const SOLID = 65535 << UNIT_BITS;
/** Noise moves the threshold by up to a quarter of the range; drawn as an odd number of −255 … 255. */
const NOISE_STEP = ((65535 / 4) << UNIT_BITS) / 255;

/** Published tables give the levels 0 … 127 of 255 and mirror about the middle tone. */
const byLevel = (at: (level: number) => number): Int32Array =>
  Int32Array.from({ length: 256 }, (_, level) => Math.round(at(Math.min(level, 255 - level))));

/**
 * Three neighbours with weights that depend on the tone wanted, as it was before any error was added.
 * `strengthPercent`, by level, lets noise move the threshold.
 */
export function openTriples(
  triples: readonly Triple[],
  run: DiffusionRun,
  strengthPercent?: readonly number[],
): ScreenRow {
  const { widthPx } = run;
  const threshold = Math.floor(run.thresholdTone * (1 << UNIT_BITS));
  const serpentine = run.scan === 'serpentine';
  const keepSides = serpentine && run.sides === 'keep';
  const share = (column: 0 | 1) => (level: number) => {
    const triple = triples[level]!;
    return (triple[column] / (triple[0] + triple[1] + triple[2])) * (1 << SHARE_BITS);
  };
  const aheadShares = byLevel(share(0));
  const behindShares = byLevel(share(1));
  const modulated = strengthPercent !== undefined && run.noise > 0;
  const noiseSteps = byLevel((level) => ((strengthPercent?.[level] ?? 0) / 100) * NOISE_STEP * run.noise);
  const noise = new Int16Array((widthPx + 3) & ~3);
  const errors = new Int32Array(widthPx + 2);
  let carried = 0;

  return (tone, y, bits, at) => {
    if (y === run.firstRow) {
      seedRow(errors.subarray(1, widthPx + 1), tone, run, y, 1 << UNIT_BITS);
      // what does not go ahead comes from above
      for (let x = 0; x < widthPx; x++)
        errors[x + 1] =
          Math.imul(errors[x + 1]!, (1 << SHARE_BITS) - aheadShares[tone[x]! >> 8]!) >> SHARE_BITS;
    }
    if (modulated) noiseRow(noise, run, y);
    const back = serpentine && (y & 1) === 1;
    const step = back ? -1 : 1;
    const end = back ? -1 : widthPx;
    const byteEnd = back ? 0 : 7;
    let ahead = carried;
    let below = 0;
    let byte = 0;
    for (let x = back ? widthPx - 1 : 0; x !== end; x += step) {
      const t = tone[x]!;
      const level = t >> 8;
      let limit = threshold + (((t - 1) >> 31) & NEVER) - (((65534 - t) >> 31) & NEVER);
      if (modulated) limit += Math.imul(noise[x]!, noiseSteps[level]!);
      const wanted = (t << UNIT_BITS) + errors[x + 1]! + ahead;
      const ink = (limit - wanted) >> 31;
      const error = wanted - (ink & SOLID);
      ahead = Math.imul(error, aheadShares[level]!) >> SHARE_BITS;
      const behind = Math.imul(error, behindShares[level]!) >> SHARE_BITS;
      errors[x + 1 - step] = below + behind;
      // the pixel below takes what rounding leaves over, so no error is lost
      below = error - ahead - behind;
      byte |= ink & (0x80 >> (x & 7));
      if ((x & 7) === byteEnd) {
        bits[at + (x >> 3)] = byte;
        byte = 0;
      }
    }
    errors[end - step + 1] = below;
    if (keepSides) {
      const start = back ? widthPx : 1;
      errors[start]! += errors[start - step]!;
      carried = ahead;
    }
    if (!back && (widthPx & 7) !== 0) bits[at + (widthPx >> 3)] = byte;
  };
}
