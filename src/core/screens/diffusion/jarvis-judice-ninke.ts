import type { DiffusionKernel } from './contract.ts';
import { openThreeRow, type ThreeRowWeights } from './three-row.ts';

const weights: ThreeRowWeights = { divisor: 48, ahead: [7, 5], below: [7, 5, 3], twoBelow: [5, 3, 1] };

/** Weights in 48ths. */
export const jarvisJudiceNinke: DiffusionKernel = {
  summary: 'twelve neighbours in three rows; coarse grain, sharpened edges',
  source:
    'J. F. Jarvis, C. N. Judice and W. H. Ninke, "A survey of techniques for the display of continuous tone pictures on bilevel displays", Computer Graphics and Image Processing 5(1), 1976, pp. 13-40',
  open: (run) => openThreeRow(weights, run),
};
