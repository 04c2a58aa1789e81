import type { HoldLimit } from '../core/hold/contract.ts';
import { widestGapMm } from '../core/hold/widths.ts';
import { presses } from '../core/presses.ts';
import { passesFor } from '../core/time/passes.ts';
import type { Making } from './making.ts';
import type { Job } from './schema.ts';

/** How deep the plate goes, in how many passes, and what is only taken for granted of it. */
export interface Depth {
  /** Passes asked for or worked out; null where nothing says how many. */
  readonly passes: number | null;
  readonly depthMm: number | null;
  /** True where job, passes or workshop say so; false where the kind of sheet only suggests it. */
  readonly stated: boolean;
  /** Depth one pass is taken to give: that of the sheet, or what passes and depth come to where both are given. */
  readonly depthPerPassMm: number | null;
  /** Who says so; null where nobody does. */
  readonly basis: 'given' | HoldLimit['basis'] | null;
}

/** Passes from --passes, else from the depth asked for or usual here and the depth of one pass. */
export function depthOf(job: Pick<Job, 'passes' | 'depthMm'>, { sheet }: Making): Depth {
  const perPass = sheet.depthPerPassMm?.mm ?? null;
  const bySheet = { depthPerPassMm: perPass, basis: sheet.depthPerPassMm?.basis ?? null };
  if (job.passes !== undefined) {
    const byPasses = perPass === null ? null : job.passes * perPass;
    return {
      passes: job.passes,
      depthMm: job.depthMm ?? byPasses ?? sheet.depthMm?.mm ?? null,
      stated: true,
      ...(job.depthMm === undefined
        ? bySheet
        : { depthPerPassMm: job.depthMm / job.passes, basis: 'given' as const }),
    };
  }
  const depthMm = job.depthMm ?? sheet.depthMm?.mm ?? null;
  const stated = job.depthMm !== undefined || sheet.depthMm?.basis === 'measured';
  const passes = stated && depthMm !== null && perPass !== null ? passesFor(depthMm, perPass) : null;
  return { passes, depthMm, stated, ...bySheet };
}

/** A saw or guillotine eats its kerf and chips the edge beside it; from memory. */
const SAW_EDGE_MM = 1;
/** A bevel at 45° is as wide as the plate is thick, and wants a bare strip inside it; from memory. */
const BEVEL_BORDER_MM = 1;
const USUAL_PLATE_MM = 2;

/** What an outline is to keep clear inside it: kerf, bevel and 1 mm (from memory). */
export const keepClearMm = (bevelled: boolean, { sheet, machine }: Making): number =>
  machine.kerfMm + (bevelled ? (sheet.thicknessMm ?? USUAL_PLATE_MM) : 0) + SAW_EDGE_MM;

const fromMemory = (mm: number): HoldLimit => ({ mm, basis: 'from-memory' });

/** The limits a process may ask for by name: those of the sheet, and those that depth, press and edge give. */
export function holdLimits(making: Making, depth: Depth): Readonly<Record<string, HoldLimit>> {
  const { press, sheet, machine } = making;
  const limits: Record<string, HoldLimit> = {
    ...sheet.limits,
    ringMm: fromMemory(0),
    sawEdgeMm: fromMemory(machine.kerfMm + SAW_EDGE_MM),
    bevelMm: fromMemory((sheet.thicknessMm ?? USUAL_PLATE_MM) + BEVEL_BORDER_MM),
  };
  if (depth.depthMm !== null) {
    const needed = (gapMm: number): number => presses[press.kind].neededDepthMm(gapMm, press.rollerRadiusMm);
    limits['widestGapMm'] = { mm: widestGapMm(depth.depthMm, needed), basis: 'common-practice' };
  }
  return limits;
}
