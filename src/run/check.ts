import { countBits } from '../core/bitmap.ts';
import { MM_PER_INCH, mmFor } from '../core/geometry.ts';
import type { ProcessKind } from '../core/processes/index.ts';
import { rowExtents } from '../core/time/extents.ts';
import { decodePicture } from '../io/read/decode.ts';
import { inspectPicture } from '../io/read/inspect.ts';
import { depthOf, holdLimits } from '../job/hold-limits.ts';
import type { Making } from '../job/making.ts';
import type { Job } from '../job/schema.ts';
import { caution } from '../report/cautions.ts';
import { buildCheckReport } from '../report/check.ts';
import type { CheckReport } from '../report/check-schema.ts';
import { makingCautions } from '../report/making-cautions.ts';
import type { Caution } from '../report/schema.ts';
import { analysePlate } from './analyse.ts';
import { dpiOf, type Packed, pack } from './plate-bits.ts';
import type { RunContext } from './prepare.ts';
import { bandsIn, type JudgeSetup, newPlateId } from './setup.ts';
import { toolFacts } from './tool.ts';

/** What a finished plate is held against. */
export interface CheckJob extends Pick<Job, 'passes' | 'depthMm' | 'maxPixels' | 'page' | 'hold'> {
  /** Null: whatever its etched share looks like. */
  readonly process: ProcessKind | null;
}

export interface CheckRequest {
  readonly input: { readonly path: string; readonly name: string };
  readonly job: CheckJob;
  /** Plate resolution to go by where the file states none, or states it wrongly. */
  readonly dpi: number | null;
  readonly fire: 'dark' | 'light';
  /** What is known of the making, once it is known what kind of plate it is. */
  readonly makingFor: (process: ProcessKind) => Making;
}

function greyCautions(greyPx: number, totalPx: number): Caution[] {
  if (greyPx === 0) return [];
  const share = Number(((100 * greyPx) / totalPx).toFixed(2));
  return [
    caution({
      code: 'greys',
      text: `${share} % of the pixels are neither black nor white: the machine will fire at part power there, or screen them itself`,
      value: share,
      unit: '%',
      cure: 'A plate has two values only: make it again from the picture.',
    }),
  ];
}

/** Measures one finished plate file, ours or another's, without changing it. */
export async function checkPlate(request: CheckRequest, context: RunContext): Promise<CheckReport> {
  const { job } = request;
  const { signal, progress } = context;
  const inspection = await inspectPicture(
    request.input,
    { page: job.page, maxPixels: job.maxPixels, scratchDir: context.scratchFolder },
    signal,
  );
  const { dpi, cautions } = dpiOf(inspection.facts, request.dpi);
  progress('reading', 0, 1);
  const picture = await decodePicture(inspection, {}, signal);
  let packed: Packed;
  try {
    packed = pack(picture, request.fire);
  } finally {
    picture.close();
  }
  const { bitmap, greyPx } = packed;
  const { widthPx, heightPx } = bitmap;
  const etchedPx = countBits(bitmap.data);
  const process = job.process ?? (etchedPx * 2 > widthPx * heightPx ? 'relief' : 'intaglio');
  const making = request.makingFor(process);
  const pool = context.poolFor((widthPx * heightPx) / 1000);
  const depth = depthOf(job, making);
  const { spotMm, beam } = making.machine;
  const setup: JudgeSetup = {
    id: newPlateId(),
    bitmap,
    spot: { spotMm, beam, pitchMm: MM_PER_INCH / dpi },
    holdLimits: holdLimits(making, depth),
  };
  pool.add(setup);
  try {
    progress('judging', 0, bandsIn(heightPx));
    const analysis = await analysePlate(setup, [rowExtents(bitmap)], making, pool, signal, {
      process,
      mirrored: false,
      hold: job.hold,
      turned: job.hold,
      depth,
    });
    const size = { widthMm: mmFor(widthPx, dpi), heightMm: mmFor(heightPx, dpi) };
    return buildCheckReport({
      tool: await toolFacts(),
      facts: picture.facts,
      process,
      dpi,
      fire: request.fire,
      size,
      etchedPx,
      making,
      depth,
      analysis,
      cautions: [
        ...cautions,
        ...greyCautions(greyPx, widthPx * heightPx),
        ...makingCautions({ process, dpi, size, making, depth, analysis, lineArt: null, widen: null }),
      ],
    });
  } finally {
    pool.drop(setup.id);
  }
}
