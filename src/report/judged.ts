import type { HoldCheck } from '../core/hold/contract.ts';
import type { ProcessKind } from '../core/processes/index.ts';
import type { TimeEstimate } from '../core/time/estimate.ts';
import type { Depth } from '../job/hold-limits.ts';
import type { Making } from '../job/making.ts';
import type { Cleared } from './clearing.ts';

/** What machine, material and press make of a plate. */
export interface JudgedPlate {
  /** Pixels that the beam will really etch; null where nobody wanted to know. */
  readonly predictedPx: number | null;
  /** Null where nobody wanted to know. */
  readonly hold: readonly HoldCheck[] | null;
  /** Of all its passes, those of clearing plates included. */
  readonly time: TimeEstimate;
  /** Its clearing plates, where it has any. */
  readonly clearing?: Cleared;
}

/** All that is known when a finished plate is judged. */
export interface Judged {
  readonly process: ProcessKind;
  readonly dpi: number;
  readonly making: Making;
  readonly size: { readonly widthMm: number; readonly heightMm: number };
  readonly depth: Depth;
  /** Null where nobody knows: of a finished plate file. */
  readonly lineArt: boolean | null;
  /** What the screen wants asked for where its lands are too thin; null where only the resolution helps. */
  readonly widen: string | null;
  readonly analysis: JudgedPlate;
}
