import type { DiffusionKernel } from './contract.ts';
import { openTwoRow, type TwoRowWeights } from './two-row.ts';

const weights: TwoRowWeights = { divisor: 32, ahead: [8, 4], below: [8, 4, 2] };

/** Weights in 32nds. */
export const burkes: DiffusionKernel = {
  summary: 'seven neighbours in two rows; crisper than stucki',
  source:
    'D. Burkes, "Presentation of the Burkes error filter for use in preparing continuous-tone images for presentation on bi-level devices", circulated note, 1988',
  open: (run) => openTwoRow(weights, run),
};
