import type { ScreenRow } from '../contract.ts';
import type { DiffusionRun } from './contract.ts';
import { seedShares, setSides, type TwoRowWeights } from './two-row.ts';
import { NEVER, SOLID, thresholdOf, UNIT_BITS } from './units.ts';

/** Weights that reach one row further down. */
export interface ThreeRowWeights extends TwoRowWeights {
  /** In the row after the next: straight below, one and two pixels to either side. */
  readonly twoBelow: TwoRowWeights['below'];
}

/** Two pixels to either side in this row and the next two; shares are fetched from the two rows above. */
export function openThreeRow(
  { divisor, ahead, below, twoBelow }: ThreeRowWeights,
  run: DiffusionRun,
): ScreenRow {
  const { widthPx } = run;
  const [aheadNear, aheadFar] = ahead;
  const [straight, near, far] = below;
  const [straight2, near2, far2] = twoBelow;
  const others = divisor - aheadNear;
  // multiplying gives the same whole shares as dividing: tried for 48, 42 and 32 with every error up to 2^26
  const inverse = 1 / divisor;
  const threshold = thresholdOf(run);
  const serpentine = run.scan === 'serpentine';
  const keepSides = serpentine && run.sides === 'keep';
  let oneAbove = new Int32Array(widthPx + 4);
  let twoAbove = new Int32Array(widthPx + 4);
  let carried = 0;

  return (tone, y, bits, at) => {
    if (y === run.firstRow) {
      seedShares(oneAbove, tone, run, y, divisor);
      seedShares(twoAbove, tone, run, y - 1, divisor);
    }
    const back = serpentine && (y & 1) === 1;
    const step = back ? -1 : 1;
    const end = back ? -1 : widthPx;
    const byteEnd = back ? 0 : 7;
    const lookAhead = 2 + step + step;
    const upper = twoAbove;
    const above = oneAbove;
    setSides(above, widthPx, keepSides);
    setSides(upper, widthPx, keepSides);
    let x = back ? widthPx - 1 : 0;
    let next = carried;
    let nextButOne = 0;
    let a0 = above[x + 2 - step - step]!;
    let a1 = above[x + 2 - step]!;
    let a2 = above[x + 2]!;
    let a3 = above[x + 2 + step]!;
    let u0 = upper[x + 2 - step - step]!;
    let u1 = upper[x + 2 - step]!;
    let u2 = upper[x + 2]!;
    let u3 = upper[x + 2 + step]!;
    let byte = 0;
    for (; x !== end; x += step) {
      const t = tone[x]!;
      const guard = (((t - 1) >> 31) & NEVER) - (((65534 - t) >> 31) & NEVER);
      const a4 = above[x + lookAhead]!;
      const u4 = upper[x + lookAhead]!;
      const wanted =
        (t << UNIT_BITS) +
        Math.imul(a2, straight) +
        Math.imul(a1 + a3, near) +
        Math.imul(a0 + a4, far) +
        Math.imul(u2, straight2) +
        Math.imul(u1 + u3, near2) +
        Math.imul(u0 + u4, far2) +
        next;
      const ink = (threshold + guard - wanted) >> 31;
      const error = wanted - (ink & SOLID);
      const share = (error * inverse) | 0;
      // the row two above has been read past this place: its memory takes this row's shares
      upper[x + 2] = share;
      next = nextButOne + error - Math.imul(share, others);
      nextButOne = Math.imul(share, aheadFar);
      a0 = a1;
      a1 = a2;
      a2 = a3;
      a3 = a4;
      u0 = u1;
      u1 = u2;
      u2 = u3;
      u3 = u4;
      byte |= ink & (0x80 >> (x & 7));
      if ((x & 7) === byteEnd) {
        bits[at + (x >> 3)] = byte;
        byte = 0;
      }
    }
    oneAbove = upper;
    twoAbove = above;
    // the next row starts below the pixel at which this one ends
    if (keepSides) carried = next + nextButOne;
    if (!back && (widthPx & 7) !== 0) bits[at + (widthPx >> 3)] = byte;
  };
}
