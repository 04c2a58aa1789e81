import type { DiffusionKernel } from './contract.ts';
import { openThreeRow, type ThreeRowWeights } from './three-row.ts';

const weights: ThreeRowWeights = { divisor: 42, ahead: [8, 4], below: [8, 4, 2], twoBelow: [4, 2, 1] };

/** Weights in 42nds. */
export const stucki: DiffusionKernel = {
  summary: 'twelve neighbours in three rows; sharpened edges, a little crisper than jarvis-judice-ninke',
  source:
    'P. Stucki, "MECCA - a multiple-error correction computation algorithm for bi-level image hardcopy reproduction", IBM Research Report RZ1060, 1981',
  open: (run) => openThreeRow(weights, run),
};
