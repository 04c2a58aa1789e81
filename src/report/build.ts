import { MM_PER_INCH } from '../core/geometry.ts';
import { processes } from '../core/processes/index.ts';
import { printedMm } from '../core/register/stretch.ts';
import type { AnyScreenDef } from '../core/screens/contract.ts';
import { screens } from '../core/screens/index.ts';
import type { SpotCurve } from '../core/screens/spot-curve.ts';
import type { Depth } from '../job/hold-limits.ts';
import { bitsOf, type Origins } from '../job/layers.ts';
import type { Making } from '../job/making.ts';
import type { MeasuredCurve } from '../job/measured-curve.ts';
import { type Plan, stretchOf } from '../job/plan.ts';
import type { Job } from '../job/schema.ts';
import { narrowest } from '../job/screen-place.ts';
import { jobSha256 } from './job-hash.ts';
import type { JudgedPlate } from './judged.ts';
import { type OutlineFacts, outlineOf } from './outline.ts';
import type { Caution, Report } from './schema.ts';
import { holdOf, type InputFacts, inputOf, materialOf, passesOf, timeOf, workshopOf } from './sections.ts';
import { tidy } from './tidy.ts';

export interface ReportParts {
  readonly making: Making;
  readonly depth: Depth;
  readonly analysis: JudgedPlate;
  readonly tool: Report['tool'];
  readonly facts: InputFacts;
  /** The picture as a list names it; null for any other. */
  readonly listed: string | null;
  readonly job: Job;
  readonly origins: Origins;
  readonly plan: Plan;
  /** What came out of the screen: facts as achieved, the curve through the spot, why it was chosen. */
  readonly screened: {
    readonly achieved: Readonly<Record<string, number | string>>;
    readonly curve: SpotCurve | null;
    readonly measured: MeasuredCurve | null;
    readonly why: string | null;
  };
  readonly made: { readonly etchedPx: number; readonly bitsSha256: string };
  readonly outline: OutlineFacts | null;
  readonly files: Report['files'];
  readonly askedSha256: string;
  readonly cautions: readonly Caution[];
}

/** A known spot may decide the bits, so it stands in the job, wherever it came from. */
const spotOf = ({ machine, spotKnown }: Making) =>
  spotKnown ? { spotMm: machine.spotMm, beam: machine.beam } : {};

const spotOrigins = ({ origins, making }: ReportParts): Origins =>
  Object.fromEntries(
    (['spotMm', 'beam'] as const).map((key) => [
      key,
      origins[key] ?? (making.origins[key] === 'workshop' ? 'workshop' : 'default'),
    ]),
  );

const curveOf = ({ screened: { measured } }: ReportParts): Report['curve'] =>
  measured && {
    name: measured.name,
    sha256: measured.sha256,
    measuredOn: measured.measuredOn,
    knots: measured.knots.map(([x, y]): [number, number] => [x, y]),
  };

/** The screen with its settings, then what was achieved, which rules where both speak of one thing. */
function screenOf({ job, plan, screened }: ReportParts): Report['screen'] {
  const def = screens[job.screen] as unknown as AnyScreenDef;
  const { achieved, curve, why } = screened;
  return {
    kind: job.screen,
    ...job.screenParams,
    tones: def.tones(job.screenParams, plan.screen.place),
    ...Object.fromEntries(
      Object.entries(achieved).map(([key, value]) => [key, typeof value === 'number' ? tidy(value) : value]),
    ),
    ...(curve ? { predictedKnots: curve.knots.map(([x, y]): [number, number] => [tidy(x), tidy(y)]) } : {}),
    ...(why === null ? {} : { why }),
  };
}

/** What a sheet lets a screen draw decides the bits of screens that go by it, so it stands in the job, wherever it came from. */
function limitsOf({ job, making }: Pick<ReportParts, 'job' | 'making'>): Readonly<Record<string, number>> {
  const def = screens[job.screen] as unknown as AnyScreenDef;
  if (def.draws !== 'bits' || !def.build) return {};
  return Object.fromEntries(Object.entries(narrowest(job, making.sheet)).filter(([, mm]) => mm > 0));
}

const limitOrigins = (parts: ReportParts): Origins =>
  Object.fromEntries(
    Object.keys(limitsOf(parts)).map((key) => [key, parts.origins[key] ?? ('material' as const)]),
  );

/** Every setting that decides the bits, with what machine and sheet have decided. */
export const decidedBits = (parts: Pick<ReportParts, 'job' | 'making'>): Record<string, unknown> => ({
  ...bitsOf(parts.job),
  ...spotOf(parts.making),
  ...limitsOf(parts),
});

/** Builds the report of a finished plate; throws when it does not fit its own schema. */
export function buildReport(parts: ReportParts): Report {
  const { job, making, plan, made, analysis } = parts;
  const { layout } = plan;
  const judged = { dpi: job.dpi, making, depth: parts.depth, analysis };
  const totalPx = layout.widthPx * layout.heightPx;
  const etched = made.etchedPx / totalPx;
  const pitchMm = MM_PER_INCH / job.dpi;
  const stretch = stretchOf(job);
  const print = {
    widthMm: printedMm(layout.widthMm, stretch.x),
    heightMm: printedMm(layout.heightMm, stretch.y),
  };
  const isStretched = stretch.x > 0 || stretch.y > 0;
  const bits = {
    ...decidedBits(parts),
    ...(parts.outline?.settings ?? {}),
    widthMm: tidy(print.widthMm),
    heightMm: tidy(print.heightMm),
  };
  return {
    schema: 'etchwright/report',
    version: 1,
    tool: parts.tool,
    input: inputOf(parts.facts, job.permission, parts.listed),
    job: bits,
    jobSha256: jobSha256(bits),
    origins: {
      ...parts.origins,
      widthMm: parts.origins['widthMm'] ?? 'measured',
      heightMm: parts.origins['heightMm'] ?? 'measured',
      ...(making.spotKnown ? spotOrigins(parts) : {}),
      ...limitOrigins(parts),
    },
    workshop: workshopOf(making),
    material: materialOf(making),
    curve: curveOf(parts),
    plate: {
      process: job.process,
      widthMm: tidy(layout.widthMm),
      heightMm: tidy(layout.heightMm),
      widthPx: layout.widthPx,
      heightPx: layout.heightPx,
      dpi: job.dpi,
      pitchMm: tidy(pitchMm),
      ...(isStretched ? { printMm: { width: tidy(print.widthMm), height: tidy(print.heightMm) } } : {}),
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
    screen: screenOf(parts),
    coverage: {
      etched: tidy(etched),
      etchedMm2: tidy(made.etchedPx * pitchMm * pitchMm),
      kept: tidy(1 - etched),
      inked: tidy(processes[job.process].prints === 'kept' ? 1 - etched : etched),
      predicted: analysis.predictedPx === null ? null : tidy(analysis.predictedPx / totalPx),
      predictedMm2: analysis.predictedPx === null ? null : tidy(analysis.predictedPx * pitchMm * pitchMm),
    },
    passes: passesOf(judged),
    time: timeOf(judged),
    hold: holdOf(judged),
    outline: parts.outline && outlineOf(parts.outline),
    files: parts.files.map(({ statedDpi, ...file }) => ({
      ...file,
      statedDpi: statedDpi && { x: tidy(statedDpi.x), y: tidy(statedDpi.y) },
    })),
    bitsSha256: made.bitsSha256,
    askedSha256: parts.askedSha256,
    cautions: [...parts.cautions],
  };
}
