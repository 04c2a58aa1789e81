import type { Spectrum } from './loops.ts';
import { LEAST_AT, LIST_END_AT, POWER_AT, ROW, SQUARE_AT, SUM_AT } from './memory.ts';
import { at, MOST, ROUND, STANDS_OUT } from './peaks.ts';
import { STEP_BINS, type wavesKernels } from './waves-text.ts';

/** Sums in another order differ in their last bits: what is not told apart by more is left to the plain way. */
const SLACK = 1 + 1e-9;

/** How the spectrum in this memory is gone through: sums to the last bits, and not all peaks, as most are told from waves by the rows round them. */
export function searchIn(
  buffer: ArrayBuffer,
  { sum, likely }: { readonly [Name in keyof typeof wavesKernels]: (...params: number[]) => void },
): Omit<Spectrum, 'power'> {
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
      listEnd[0] = SQUARE_AT;
      for (let v = 0; v <= MOST; v++) {
        const middle = POWER_AT + 8 * at(0, v);
        const [from, to] = [middle - 16 * Math.ceil(MOST / 2), middle + 8 * (MOST + 1)];
        // what a row has beyond whole steps is left out: less than all is round them
        likely(from, to, ROUND, 8 * (wide - (wide % STEP_BINS)), reach * (ROW + 8), lobeWide * ROW);
      }
      for (const pair of new Int32Array(buffer, SQUARE_AT, (listEnd[0] - SQUARE_AT) / 4)) {
        const index = (pair - POWER_AT) / 8;
        yield index;
        yield index + 1;
      }
    },
  };
}
