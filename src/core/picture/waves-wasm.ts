import { openWasm } from '../wasm/open.ts';
import { at, MOST, ROUND, STANDS_OUT, type WavesLoops } from './peaks.ts';
import { TILE_PX } from './tiles.ts';
import { BYTES, kernels, LEAST_AT, LIST_AT, LIST_END_AT, POWER_AT, SUM_AT } from './waves-text.ts';

/** Sums in another order differ in their last bits: what is not told apart by more is left to the plain way. */
const SLACK = 1 + 1e-9;

/** `openPlainWaves` by vectors: sums to the last bits, and fewer peaks, as most are told from waves by the rows round them. Null where the engine cannot. */
export function openWavesWasm(power: Float64Array): WavesLoops | null {
  const opened = openWasm(kernels, BYTES);
  if (opened === null) return null;
  const { buffer } = opened;
  const { sum, likely } = opened.run;
  new Float64Array(buffer, POWER_AT, power.length).set(power);
  const answer = new Float64Array(buffer, SUM_AT, 1);
  const listEnd = new Int32Array(buffer, LIST_END_AT, 1);
  return {
    sum(from, to) {
      if (to <= from) return 0;
      sum(POWER_AT + 8 * from, POWER_AT + 8 * to);
      return answer[0]!;
    },
    *likely(lobe) {
      const reach = lobe + ROUND;
      const lobeWide = 2 * lobe + 1;
      const wide = 2 * reach + 1;
      new Float64Array(buffer, LEAST_AT, 1)[0] = ((wide ** 2 - lobeWide ** 2) / STANDS_OUT) * SLACK;
      listEnd[0] = LIST_AT;
      const row = 8 * TILE_PX;
      for (let v = 0; v <= MOST; v++) {
        const middle = POWER_AT + 8 * at(0, v);
        const [from, to] = [middle - 16 * Math.ceil(MOST / 2), middle + 8 * (MOST + 1)];
        likely(from, to, ROUND, 8 * wide, reach * (row + 8), lobeWide * row);
      }
      for (const pair of new Int32Array(buffer, LIST_AT, (listEnd[0] - LIST_AT) / 4)) {
        yield (pair - POWER_AT) / 8;
        yield (pair - POWER_AT) / 8 + 1;
      }
    },
  };
}
