import { join } from 'node:path';
import { countBits } from '../../core/bitmap.ts';
import { MM_PER_INCH, mmFor } from '../../core/geometry.ts';
import { type ProcessKind, processes } from '../../core/processes/index.ts';
import { NO_STRETCH } from '../../core/register/stretch.ts';
import { rowExtents } from '../../core/time/extents.ts';
import { openFileSet } from '../../io/atomic.ts';
import { decodePicture } from '../../io/read/decode.ts';
import type { PictureFacts } from '../../io/read/facts.ts';
import { inspectPicture } from '../../io/read/inspect.ts';
import { sweepStale } from '../../io/stale.ts';
import { depthOf, holdLimits } from '../../job/hold-limits.ts';
import type { Making } from '../../job/making.ts';
import type { Looking } from '../../job/proof-settings.ts';
import type { Job } from '../../job/schema.ts';
import { caution } from '../../report/cautions/index.ts';
import { makingCautions } from '../../report/cautions/making.ts';
import { buildCheckReport } from '../../report/check.ts';
import type { CheckReport } from '../../report/check-schema.ts';
import type { Caution } from '../../report/schema.ts';
import { type LookFile, looksOf, openLooks } from '../looking/files.ts';
import { writeDrawings } from '../looking/looking.ts';
import { toolFacts } from '../tool.ts';
import { analysePlate, printReading } from './analyse.ts';
import type { RunContext } from './context.ts';
import { dpiOf, type Packed, pack } from './plate-bits.ts';
import { CHECK, refuseWithoutRoom } from './room.ts';
import { bandsIn, type JudgeSetup, newPlateId } from './setup.ts';

/** What a finished plate is held against. */
export interface CheckJob extends Pick<Job, 'passes' | 'depthMm' | 'maxPixels' | 'page' | 'hold'> {
  /** Null: whatever its etched share looks like. */
  readonly process: ProcessKind | null;
  /** Null: as plates of its process mostly face. */
  readonly facing: Job['facing'] | null;
}

/** What is made to look at of a finished plate, and where it goes. */
export interface CheckLooks {
  readonly looking: Looking;
  readonly folder: string;
  /** Stem of the file names. */
  readonly name: string;
  readonly overwrite: boolean;
  /** Files that must never be written over: the plates, the workshop file. */
  readonly protect: readonly string[];
}

export interface CheckRequest {
  readonly input: { readonly path: string; readonly name: string };
  readonly job: CheckJob;
  /** Plate resolution to go by where the file states none, or states it wrongly. */
  readonly dpi: number | null;
  readonly fire: 'dark' | 'light';
  /** What is known of the making, once it is known what kind of plate it is. */
  readonly makingFor: (process: ProcessKind) => Making;
  readonly looks: CheckLooks;
}

/** What was measured on a plate file, and the paths of what was made to look at. */
export interface Checked {
  readonly report: CheckReport;
  readonly written: readonly string[];
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

/**
 * Measures one finished plate file, ours or another's, without changing it, and draws what is asked for to look at: all
 * of that is in place at the end, or nothing.
 */
export async function checkPlate(request: CheckRequest, context: RunContext): Promise<Checked> {
  const { job, looks } = request;
  const { signal, progress, owner } = context;
  const inspection = await inspectPicture(
    request.input,
    { page: job.page, maxPixels: job.maxPixels, scratchDir: context.scratchFolder },
    signal,
  );
  const { dpi, cautions } = dpiOf(inspection.facts, request.dpi);
  const { uprightWidthPx, uprightHeightPx } = inspection.facts;
  refuseWithoutRoom({ widthPx: uprightWidthPx, heightPx: uprightHeightPx, dpi }, CHECK, null);
  const set = openFileSet({ owner, protect: looks.protect, overwrite: looks.overwrite });
  try {
    const wanted = looksOf(looks.looking).length > 0;
    if (wanted) await sweepStale(looks.folder, owner);
    const open = await openLooks(set, looks.folder, looks.name, looks.looking);
    progress('reading', 0, 1);
    const picture = await decodePicture(inspection, {}, signal);
    let packed: Packed;
    try {
      packed = pack(picture, request.fire);
    } finally {
      picture.close();
    }
    const report = await judge(request, { ...packed, facts: picture.facts, dpi, cautions }, open, context);
    signal.throwIfAborted();
    await set.commit();
    return { report, written: open.map(({ name }) => join(looks.folder, name)) };
  } catch (error) {
    await set.abandon();
    throw error;
  }
}

/** A plate file as it was read. */
interface ReadPlate extends Packed {
  readonly facts: PictureFacts;
  readonly dpi: number;
  /** About its resolution. */
  readonly cautions: readonly Caution[];
}

async function judge(
  request: CheckRequest,
  plate: ReadPlate,
  open: readonly LookFile[],
  context: RunContext,
): Promise<CheckReport> {
  const { job } = request;
  const { signal, progress } = context;
  const { bitmap, greyPx, dpi } = plate;
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
    const cautions = [
      ...plate.cautions,
      ...greyCautions(greyPx, widthPx * heightPx),
      ...makingCautions({ process, dpi, size, making, depth, analysis, lineArt: null, widen: null }),
    ];
    // places are told as the file lies; what is drawn is the print
    const mirrored = (job.facing ?? processes[process].facing) === 'plate';
    const checks = analysis.hold ?? [];
    const print = {
      process,
      mirrored,
      maxPoolMm: making.sheet.limits.maxPoolMm?.mm ?? null,
      stretch: NO_STRETCH,
    };
    const files = await writeDrawings(
      open,
      {
        setup,
        print,
        checks: mirrored ? printReading(checks, widthPx * setup.spot.pitchMm) : checks,
        cautions,
      },
      request.looks.looking,
      pool,
      signal,
      progress,
    );
    return buildCheckReport({
      tool: await toolFacts(),
      facts: plate.facts,
      process,
      dpi,
      fire: request.fire,
      size,
      etchedPx,
      making,
      depth,
      analysis,
      files,
      cautions,
    });
  } finally {
    pool.drop(setup.id);
  }
}
