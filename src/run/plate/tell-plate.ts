import type { AnyScreenDef } from '../../core/screens/contract.ts';
import { screens } from '../../core/screens/index.ts';
import { depthOf } from '../../job/hold-limits.ts';
import { buildReport } from '../../report/build.ts';
import { refuses } from '../../report/cautions/index.ts';
import { depthCleared } from '../../report/clearing.ts';
import type { JudgedPlate } from '../../report/judged.ts';
import type { Caution, Report } from '../../report/schema.ts';
import type { PlannedOutline } from '../outline/outline.ts';
import { toolFacts } from '../tool.ts';
import { askedSha256 } from './asked.ts';
import { cautionsOf } from './cautioned.ts';
import type { MadeClearing } from './clearing.ts';
import { type Decided, originsOf } from './decide.ts';
import type { MadePlate } from './make-plate.ts';
import type { PlacedPicture, PlannedPlate } from './plan-plate.ts';
import type { PrepareRequest } from './request.ts';

/** A plate whose bits or tones are there, with all that led to them. */
export interface DrawnPlate {
  readonly decided: Decided;
  readonly picture: PlacedPicture;
  readonly planned: PlannedPlate;
  readonly made: MadePlate;
  /** Null for a plate without any. */
  readonly clears: MadeClearing | null;
}

/** What people are told of a plate before any of its files is written. */
export interface ToldPlate {
  readonly analysis: JudgedPlate;
  readonly outline: ReturnType<PlannedOutline['finish']> | null;
  readonly cautions: readonly Caution[];
  /** True where a caution forbids the plate. */
  readonly refused: boolean;
  /** Its report, once its files are known. */
  reportWith(files: Report['files']): Report;
}

/** Tells what was found of a plate that is drawn and judged, `judged` without its clearing plates. */
export async function tellPlate(
  request: PrepareRequest,
  plate: DrawnPlate,
  judged: JudgedPlate,
): Promise<ToldPlate> {
  const { making } = request;
  const { decided, picture, planned, made, clears } = plate;
  const { plan } = planned;
  const { job, built, measured, why } = decided;
  const analysis = clears ? { ...judged, time: clears.time, clearing: clears.cleared } : judged;
  const depth = clears ? depthCleared(clears.cleared) : depthOf(job, making);
  const outline = planned.outline?.finish(made.setup) ?? null;
  const facts = outline?.facts ?? null;
  const { forLineArt, widen = null } = screens[job.screen] as unknown as AnyScreenDef;
  const by = { process: job.process, dpi: job.dpi, size: plan.layout, lineArt: forLineArt, widen };
  const cautions = await cautionsOf(request, {
    decided,
    picture,
    plan,
    made,
    judged: { ...by, making, depth, analysis },
    outline: facts,
  });
  const parts = {
    job,
    making,
    depth,
    plan,
    screened: { achieved: built.achieved, curve: built.curve, measured, why },
    made,
    analysis,
    facts: 'told' in request.input ? request.input.told : picture.facts,
    listed: request.listed ?? null,
    cautions,
    origins: originsOf(request.origins, request.job, job, why),
    askedSha256: askedSha256(request),
    outline: facts,
    tool: await toolFacts(),
  };
  return {
    analysis,
    outline,
    cautions,
    refused: refuses(cautions, request.strict),
    reportWith: (files) => buildReport({ ...parts, files }),
  };
}
