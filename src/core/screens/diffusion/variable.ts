import type { ScreenRow } from '../contract.ts';
import type { DiffusionRun } from './contract.ts';
import { seedErrorRow } from './seed.ts';

/** Weights for the pixel ahead, the one below and behind, the one below; only their ratio counts. */
export type Triple = readonly [ahead: number, belowBehind: number, below: number];

/** Error is kept in 1/4 of a tone step and shares in 1/4096: a product fits 32 bit with room for five errors in one. */
const UNIT_BITS = 2;
const SHARE_BITS = 12;
const SOLID = 65535 << UNIT_BITS;
/** Larger than any carried error; keeps paper free of dots and solids free of holes. */
const NEVER = 1 << 29;
/** About the part of the error that comes from above; the weights ahead are 0.42 … 0.72. */
const FROM_ABOVE = 0.5;

/** Shares of one column of 128 triples for 256 levels of ink; the tables mirror about the middle tone. */
function shares(triples: readonly Triple[], column: 0 | 1): Int32Array {
  return Int32Array.from({ length: 256 }, (_, level) => {
    const triple = triples[level < 128 ? level : 255 - level]!;
    return Math.round((triple[column] / (triple[0] + triple[1] + triple[2])) * (1 << SHARE_BITS));
  });
}

/** Three neighbours with weights that depend on the tone wanted, as it was before any error was added. */
export function openVariable(triples: readonly Triple[], run: DiffusionRun): ScreenRow {
  const { widthPx } = run;
  const threshold = Math.floor(run.thresholdTone * (1 << UNIT_BITS));
  const serpentine = run.scan === 'serpentine';
  const aheadShares = shares(triples, 0);
  const behindShares = shares(triples, 1);
  const errors = new Int32Array(widthPx + 2);
  seedErrorRow(errors, run, FROM_ABOVE, 1 << UNIT_BITS);

  return (tone, y, bits, at) => {
    const back = serpentine && (y & 1) === 1;
    const step = back ? -1 : 1;
    const end = back ? -1 : widthPx;
    const byteEnd = back ? 0 : 7;
    let ahead = 0;
    let below = 0;
    let byte = 0;
    for (let x = back ? widthPx - 1 : 0; x !== end; x += step) {
      const t = tone[x]!;
      const guard = (((t - 1) >> 31) & NEVER) - (((65534 - t) >> 31) & NEVER);
      const wanted = (t << UNIT_BITS) + errors[x + 1]! + ahead;
      const ink = (threshold + guard - wanted) >> 31;
      const error = wanted - (ink & SOLID);
      ahead = Math.imul(error, aheadShares[t >> 8]!) >> SHARE_BITS;
      const behind = Math.imul(error, behindShares[t >> 8]!) >> SHARE_BITS;
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
    if (!back && (widthPx & 7) !== 0) bits[at + (widthPx >> 3)] = byte;
  };
}
