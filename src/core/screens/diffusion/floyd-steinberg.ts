import type { ScreenRow } from '../contract.ts';
import type { DiffusionKernel, DiffusionRun } from './contract.ts';
import { HANDED_DOWN, openFloydWasm } from './floyd-wasm.ts';
import { seedRow } from './noise.ts';
import { NEVER, SOLID, thresholdOf, UNIT_BITS } from './units.ts';

/**
 * Weights 7 ahead; 3, 5, 1 below; of 16. They are written out: as variables they cost a quarter of the speed.
 * For engines without WebAssembly, and what that is held to.
 */
export function openPlainFloyd(run: DiffusionRun): ScreenRow {
  const { widthPx } = run;
  const threshold = thresholdOf(run);
  const serpentine = run.scan === 'serpentine';
  const keepSides = serpentine && run.sides === 'keep';
  // one cell more on each side takes the error that leaves the picture
  const errors = new Int32Array(widthPx + 2);
  let carried = 0;

  return (tone, y, bits, at) => {
    if (y === run.firstRow) seedRow(errors.subarray(1, widthPx + 1), tone, run, y, HANDED_DOWN);
    const back = serpentine && (y & 1) === 1;
    const step = back ? -1 : 1;
    const end = back ? -1 : widthPx;
    const byteEnd = back ? 0 : 7;
    let ahead = carried;
    let behindBelow = 0;
    let below = 0;
    let byte = 0;
    let x = back ? widthPx - 1 : 0;
    for (; x !== end; x += step) {
      const t = tone[x]!;
      // bare paper and solids come in areas, so this branch is foreseen; dots are not, and none depends on them
      const limit = (t - 1) >>> 0 < 65534 ? threshold : t === 0 ? threshold + NEVER : threshold - NEVER;
      // each pixel waits for the error of the one before: what does not is worked out apart from what does, and
      // sums are cut to 32 bits, which they never leave, so that the engine checks for no more
      const own = ((t << UNIT_BITS) + errors[x + 1]!) | 0;
      const spare = (limit - own) | 0;
      const ink = (spare - ahead) >> 31;
      const error = (own + ahead - (ink & SOLID)) | 0;
      const share = error >> 4;
      // the pixel ahead takes what division leaves over, so no error is lost
      ahead = (error - ((share << 3) + share)) | 0;
      errors[x + 1 - step] = behindBelow + (share << 1) + share;
      behindBelow = (below + (share << 2) + share) | 0;
      below = share;
      byte |= ink & (0x80 >> (x & 7));
      if ((x & 7) === byteEnd) {
        bits[at + (x >> 3)] = byte;
        byte = 0;
      }
    }
    errors[end - step + 1] = behindBelow;
    if (keepSides) {
      errors[end - step + 1]! += below;
      const start = back ? widthPx : 1;
      errors[start]! += errors[start - step]!;
      // the next row starts below the pixel at which this one ends
      carried = ahead;
    }
    if (!back && (widthPx & 7) !== 0) bits[at + (widthPx >> 3)] = byte;
  };
}

/** Weights in 16ths. */
export const floydSteinberg: DiffusionKernel = {
  summary: 'four neighbours; crisp and fast',
  source:
    'R. W. Floyd and L. Steinberg, "An adaptive algorithm for spatial greyscale", Proc. SID 17(2), 1976, pp. 75-77',
  open: (run) => openFloydWasm(run) ?? openPlainFloyd(run),
};
