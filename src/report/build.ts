import { MM_PER_INCH } from '../core/geometry.ts';
import { processes } from '../core/processes/index.ts';
import type { ScreenDef } from '../core/screens/contract.ts';
import { screens } from '../core/screens/index.ts';
import type { Depth } from '../job/hold-limits.ts';
import { bitsOf, type Origins } from '../job/layers.ts';
import type { Making } from '../job/making.ts';
import type { Plan } from '../job/plan.ts';
import type { Job } from '../job/schema.ts';
import type { JudgedPlate } from './judged.ts';
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
  readonly making: Making;
  readonly depth: Depth;
  readonly analysis: JudgedPlate;
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

function passesOf({ job, making, depth }: ReportParts): Report['passes'] {
  const { passes, depthMm } = depth;
  if (passes === null) return null;
  const perPass = making.sheet.depthPerPassMm?.mm ?? null;
  return {
    count: passes,
    depthMm,
    depthPerPassMm: perPass ?? (depthMm === null ? null : tidy(depthMm / passes)),
    plan: Array.from({ length: passes }, () => ({ dpi: job.dpi, file: null, timeS: null })),
  };
}

/** Which numbers the minutes rest on; the machine's own figure rules. */
function timeOf({ making, analysis, depth }: ReportParts): Report['time'] {
  const { time } = analysis;
  const { machine } = making;
  const known = making.origins['speedMmS'] === 'workshop';
  return {
    perPassS: tidy(time.perPassS),
    totalS: tidy(time.totalS),
    rows: time.rows,
    slotS: time.slotS,
    fits: time.fitsSlot,
    basis:
      `${machine.speedMmS} mm/s and ${machine.accelMmS2} mm/s² ${known ? 'as the workshop says' : 'from memory'}, ` +
      `${depth.passes === null ? 'for one pass' : `${depth.passes} passes`}; the machine’s own figure rules`,
  };
}

const holdOf = ({ analysis }: ReportParts): Report['hold'] =>
  analysis.hold && {
    checks: analysis.hold.map(({ code, limitMm, basis, worstMm, count, areaMm2, share, places }) => ({
      code,
      limitMm: Number.isFinite(limitMm) ? tidy(limitMm) : null,
      basis,
      worstMm: worstMm === null ? null : tidy(worstMm),
      count,
      areaMm2: tidy(areaMm2),
      share: tidy(share),
      places: places.map(({ xMm, yMm, widthMm, heightMm }) => ({
        xMm: tidy(xMm),
        yMm: tidy(yMm),
        widthMm: tidy(widthMm),
        heightMm: tidy(heightMm),
      })),
    })),
  };

function materialOf({ sheet }: Making): Report['material'] {
  const { id, kind, assumed, batch, confirmedBy } = sheet;
  return id === null ? null : { id, kind: assumed ? null : kind, batch, confirmedBy };
}

function inputOf(facts: InputFacts, permission: string | undefined): Report['input'] {
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
    permission: permission ?? null,
  };
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

/** Builds the report of a finished plate; throws when it does not fit its own schema. */
export function buildReport(parts: ReportParts): Report {
  const { job, making, plan, made, analysis } = parts;
  const { layout } = plan;
  const totalPx = layout.widthPx * layout.heightPx;
  const etched = made.etchedPx / totalPx;
  const pitchMm = MM_PER_INCH / job.dpi;
  const def = screens[job.screen] as unknown as ScreenDef;
  return {
    schema: 'etchwright/report',
    version: 1,
    tool: parts.tool,
    input: inputOf(parts.facts, job.permission),
    job: {
      ...bitsOf(job),
      ...spotOf(making),
      widthMm: tidy(layout.widthMm),
      heightMm: tidy(layout.heightMm),
    },
    origins: {
      ...parts.origins,
      widthMm: parts.origins['widthMm'] ?? 'measured',
      heightMm: parts.origins['heightMm'] ?? 'measured',
      ...(making.spotKnown ? spotOrigins(parts) : {}),
    },
    workshop: {
      name: making.workshop.name,
      sha256: making.workshop.sha256,
      machine: making.machine.id,
      press: making.press.id,
    },
    material: materialOf(making),
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
      predicted: tidy(analysis.predictedPx / totalPx),
      predictedMm2: tidy(analysis.predictedPx * pitchMm * pitchMm),
    },
    passes: passesOf(parts),
    time: timeOf(parts),
    hold: holdOf(parts),
    files: [...parts.files],
    bitsSha256: made.bitsSha256,
    cautions: [...parts.cautions],
  };
}
