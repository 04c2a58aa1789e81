import { MM_PER_INCH } from '../core/geometry.ts';
import { materials } from '../core/materials/index.ts';
import { processes } from '../core/processes/index.ts';
import type { AnyScreenDef } from '../core/screens/contract.ts';
import { screens } from '../core/screens/index.ts';
import { passesFor } from '../core/time/passes.ts';
import { bitsOf, type Origins } from '../job/layers.ts';
import type { Plan } from '../job/plan.ts';
import type { Job } from '../job/schema.ts';
import type { Caution, Report } from './schema.ts';

/** What a report needs to know of the picture; the reader's facts have more. */
export interface InputFacts {
  readonly name: string;
  readonly sha256: string;
  readonly format: string;
  readonly widthPx: number;
  readonly heightPx: number;
  readonly ppiX: number | null;
  readonly ppiY: number | null;
  readonly orientation: number;
  readonly alpha: boolean;
  readonly profile: string | null;
  readonly depthBits: 8 | 16;
  readonly frames: number;
}

export interface ReportParts {
  readonly tool: Report['tool'];
  readonly facts: InputFacts;
  readonly job: Job;
  readonly origins: Origins;
  readonly plan: Plan;
  readonly made: { readonly etchedPx: number; readonly bitsSha256: string };
  readonly files: Report['files'];
  readonly cautions: readonly Caution[];
}

/** Rounds away what floating point adds: a picometre, a millionth of a per cent. */
const tidy = (value: number): number => Math.round(value * 1e9) / 1e9;

type Known = (typeof materials)[keyof typeof materials];

const materialOf = (job: Job): Known | null =>
  job.material !== undefined && Object.hasOwn(materials, job.material)
    ? materials[job.material as keyof typeof materials]
    : null;

function passesOf(job: Job): Report['passes'] {
  const { passes, depthMm, dpi } = job;
  const depthPerPassMm = materialOf(job)?.limits.depthPerPassMm?.value ?? null;
  const byDepth =
    depthMm !== undefined && depthPerPassMm !== null ? passesFor(depthMm, depthPerPassMm) : undefined;
  const count = passes ?? byDepth;
  if (count === undefined) return null;
  return {
    count,
    depthMm: depthMm ?? null,
    depthPerPassMm,
    plan: Array.from({ length: count }, () => ({ dpi, file: null, timeS: null })),
  };
}

function inputOf(facts: InputFacts): Report['input'] {
  const {
    ppiX,
    ppiY,
    name,
    sha256,
    format,
    widthPx,
    heightPx,
    orientation,
    alpha,
    profile,
    depthBits,
    frames,
  } = facts;
  return {
    name,
    sha256,
    format,
    widthPx,
    heightPx,
    ppi: ppiX !== null && ppiY !== null ? { x: tidy(ppiX), y: tidy(ppiY) } : null,
    orientation,
    alpha,
    profile,
    depthBits,
    frames,
  };
}

/** Builds the report of a finished plate; throws when it does not fit its own schema. */
export function buildReport(parts: ReportParts): Report {
  const { job, plan, made } = parts;
  const { layout } = plan;
  const totalPx = layout.widthPx * layout.heightPx;
  const etched = made.etchedPx / totalPx;
  const pitchMm = MM_PER_INCH / job.dpi;
  const def = screens[job.screen] as unknown as AnyScreenDef;
  return {
    schema: 'etchwright/report',
    version: 1,
    tool: parts.tool,
    input: inputOf(parts.facts),
    job: { ...bitsOf(job), widthMm: tidy(layout.widthMm), heightMm: tidy(layout.heightMm) },
    origins: {
      ...parts.origins,
      widthMm: parts.origins['widthMm'] ?? 'measured',
      heightMm: parts.origins['heightMm'] ?? 'measured',
    },
    workshop: { name: 'unmeasured', sha256: null, machine: null, press: null },
    material:
      job.material === undefined
        ? null
        : { id: job.material, kind: materialOf(job)?.kind ?? null, batch: null, confirmedBy: null },
    curve: null,
    plate: {
      process: job.process,
      widthMm: tidy(layout.widthMm),
      heightMm: tidy(layout.heightMm),
      widthPx: layout.widthPx,
      heightPx: layout.heightPx,
      dpi: job.dpi,
      pitchMm: tidy(pitchMm),
      residueMm: { x: tidy(layout.residueMm.x), y: tidy(layout.residueMm.y) },
      facing: job.facing,
      mirrored: plan.finish.mirror,
      etches: job.etch,
      sourcePpi: tidy(layout.sourcePpi),
      cropPercent: {
        left: tidy(layout.cropPercent.left),
        right: tidy(layout.cropPercent.right),
        top: tidy(layout.cropPercent.top),
        bottom: tidy(layout.cropPercent.bottom),
      },
    },
    screen: { kind: job.screen, ...job.screenParams, tones: def.tones(job.screenParams) },
    coverage: {
      etched,
      etchedMm2: tidy(made.etchedPx * pitchMm * pitchMm),
      kept: 1 - etched,
      inked: processes[job.process].prints === 'kept' ? 1 - etched : etched,
      predicted: null,
      predictedMm2: null,
    },
    passes: passesOf(job),
    time: null,
    hold: null,
    files: [...parts.files],
    bitsSha256: made.bitsSha256,
    cautions: [...parts.cautions],
  };
}
