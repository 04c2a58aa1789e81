import type { ScreenRow } from '../contract.ts';
import type { DiffusionKernel, DiffusionRun, Weights } from './contract.ts';
import { seedErrorRow } from './seed.ts';

export const floydSteinbergWeights: Weights = {
  divisor: 16,
  ahead: [7, 0],
  below: [0, 3, 5, 1, 0],
  twoBelow: [0, 0, 0, 0, 0],
};

/** Error is kept in 1/256 of a tone step: rounding stays far below what could move a dot. */
const UNIT_BITS = 8;
const SOLID = 65535 << UNIT_BITS;
/** Larger than any carried error; keeps paper free of dots and solids free of holes. */
const NEVER = 1 << 29;

function open(run: DiffusionRun): ScreenRow {
  const { widthPx } = run;
  const threshold = Math.floor(run.thresholdTone * (1 << UNIT_BITS));
  const serpentine = run.scan === 'serpentine';
  // one cell more on each side takes the error that leaves the picture; nobody reads it
  const errors = new Int32Array(widthPx + 2);
  seedErrorRow(errors, run, 9 / 16, 1 << UNIT_BITS);

  return (tone, y, bits, at) => {
    const back = serpentine && (y & 1) === 1;
    const step = back ? -1 : 1;
    const end = back ? -1 : widthPx;
    const byteEnd = back ? 0 : 7;
    let ahead = 0;
    let behindBelow = 0;
    let below = 0;
    let byte = 0;
    let x = back ? widthPx - 1 : 0;
    for (; x !== end; x += step) {
      const t = tone[x]!;
      // no branches on the result: dots are unforeseeable, and a wrong guess costs more than the arithmetic
      const guard = (((t - 1) >> 31) & NEVER) - (((65534 - t) >> 31) & NEVER);
      const wanted = (t << UNIT_BITS) + errors[x + 1]! + ahead;
      const ink = (threshold + guard - wanted) >> 31;
      const error = wanted - (ink & SOLID);
      const share = error >> 4;
      // the pixel ahead takes what division leaves over, so no error is lost
      ahead = error - share * 9;
      errors[x + 1 - step] = behindBelow + share * 3;
      behindBelow = below + share * 5;
      below = share;
      byte |= ink & (0x80 >> (x & 7));
      if ((x & 7) === byteEnd) {
        bits[at + (x >> 3)] = byte;
        byte = 0;
      }
    }
    errors[end - step + 1] = behindBelow;
    if (!back && (widthPx & 7) !== 0) bits[at + (widthPx >> 3)] = byte;
  };
}

export const floydSteinberg: DiffusionKernel = {
  summary: 'four neighbours; crisp and fast',
  source:
    'R. W. Floyd and L. Steinberg, "An adaptive algorithm for spatial greyscale", Proc. SID 17(2), 1976, pp. 75-77',
  open,
};
