import type { HoldCheck } from '../core/hold/contract.ts';
import type { TimeEstimate } from '../core/time/estimate.ts';
import type { Depth } from '../job/hold-limits.ts';
import type { Making } from '../job/making.ts';
import type { Plan } from '../job/plan.ts';
import type { Job } from '../job/schema.ts';

/** What machine, material and press make of a plate. */
export interface JudgedPlate {
  /** Pixels that the beam will really etch. */
  readonly predictedPx: number;
  /** Null where nobody wanted to know. */
  readonly hold: readonly HoldCheck[] | null;
  readonly time: TimeEstimate;
}

/** All that is known when a finished plate is judged. */
export interface Judged {
  readonly job: Job;
  readonly making: Making;
  readonly plan: Plan;
  readonly depth: Depth;
  readonly lineArt: boolean;
  readonly analysis: JudgedPlate;
}
