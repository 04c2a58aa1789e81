import type { DiffusionKernel } from './contract.ts';
import { openThreeRow, type ThreeRowWeights } from './three-row.ts';
import { openTriples, type Triple } from './triples.ts';
import { openTwoRow, type TwoRowWeights } from './two-row.ts';

// F. Sierra's kernels were never printed in a paper; the weights are those of every public copy of his notes.
const source = 'F. Sierra, notes circulated in 1989 (three rows) and 1990 (two rows, lite)';

const threeRows: ThreeRowWeights = { divisor: 32, ahead: [5, 3], below: [5, 4, 2], twoBelow: [3, 2, 0] };
const twoRows: TwoRowWeights = { divisor: 16, ahead: [4, 3], below: [3, 2, 1] };
const lite: readonly Triple[] = new Array<Triple>(128).fill([2, 1, 1]);

/** Weights in 32nds. */
export const sierra3: DiffusionKernel = {
  summary: 'ten neighbours in three rows; soft grain, sharpened edges',
  source,
  open: (run) => openThreeRow(threeRows, run),
};

/** Weights in 16ths. */
export const sierra2: DiffusionKernel = {
  summary: 'seven neighbours in two rows; between crisp and soft',
  source,
  open: (run) => openTwoRow(twoRows, run),
};

/** Weights in quarters. */
export const sierraLite: DiffusionKernel = {
  summary: 'three neighbours; much like floyd-steinberg',
  source,
  open: (run) => openTriples(lite, run),
};
