import { type ClearingPlan, clearingRatio, planClearing } from '../core/clearing/plan.ts';
import type { Problem } from '../core/errors.ts';
import { MM_PER_INCH } from '../core/geometry.ts';
import { presses } from '../core/presses.ts';
import { type Depth, depthOf } from './hold-limits.ts';
import type { Making } from './making.ts';
import type { WantedJob } from './schema.ts';

/** How a relief is to be cleared by plates of their own; lengths in mm. */
export interface Clearing {
  readonly plan: ClearingPlan;
  /** Pixels of the plate along one pixel of the clearing plates. */
  readonly ratio: number;
  readonly dpi: number;
  readonly depth: Depth;
  readonly finePassMm: number;
  readonly clearPassMm: number;
  /** True where somebody said how deep a clearing pass goes. */
  readonly clearPassGiven: boolean;
  neededDepthMm(gapMm: number): number;
}

type Wanted = Pick<WantedJob, 'clearing' | 'clearInsetMm' | 'clearPassMm' | 'dpi' | 'passes' | 'depthMm'>;

/** What is to be cleared and how, before the picture is known: which plates there may be. Null where that is not asked for, or not known. */
export function clearingOf(job: Wanted, making: Making): Clearing | null {
  const depth = depthOf(job, making);
  const { depthMm, depthPerPassMm: finePassMm } = depth;
  if (!job.clearing || depthMm === null || finePassMm === null) return null;
  const { press, machine } = making;
  const pitchMm = MM_PER_INCH / job.dpi;
  const ratio = clearingRatio(pitchMm, machine.spotMm);
  const clearPassMm = job.clearPassMm ?? finePassMm;
  const neededDepthMm = (gapMm: number): number =>
    presses[press.kind].neededDepthMm(gapMm, press.rollerRadiusMm);
  const plan = planClearing({
    depthMm,
    finePassMm,
    clearPassMm,
    insetMm: job.clearInsetMm,
    cellMm: ratio * pitchMm,
    neededDepthMm,
  });
  return {
    plan,
    ratio,
    dpi: job.dpi / ratio,
    depth,
    finePassMm,
    clearPassMm,
    clearPassGiven: job.clearPassMm !== undefined,
    neededDepthMm,
  };
}

/** What clearing wants to know and nobody says: how deep one pass goes. */
export function clearingProblems(job: Wanted, making: Making): Problem[] {
  const { depthMm, depthPerPassMm } = depthOf(job, making);
  if (!job.clearing || (depthMm !== null && depthPerPassMm !== null)) return [];
  const { id, kind } = making.sheet;
  return [
    {
      code: 'clearing-without-depth',
      message: `--clearing: nothing says how deep one pass goes in ${id ?? kind}, so no passes can be planned`,
      hint: 'Give both --depth and --passes, or write the sheet and its depthPerPassMm into the workshop file.',
    },
  ];
}
