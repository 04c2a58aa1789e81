import { join } from 'node:path';
import type { Bitmap } from '../../core/bitmap.ts';
import { composeOrientation, type RotateDeg } from '../../core/geometry-orientation.ts';
import { screens } from '../../core/screens/index.ts';
import type { FileSet } from '../../io/atomic.ts';
import type { PlateHead } from '../../io/formats/contract.ts';
import type { Picture } from '../../io/read/decode.ts';
import { type Clearing, clearingOf } from '../../job/clearing.ts';
import { depthOf } from '../../job/hold-limits.ts';
import { layPlate, stretchOf } from '../../job/plan.ts';
import type { JudgedPlate } from '../../report/judged.ts';
import type { Report } from '../../report/schema.ts';
import type { PrintAs, ProofRequest } from '../looking/proof.ts';
import type { Pool } from '../pool.ts';
import { type MadeClearing, makeClearing } from './clearing.ts';
import type { RunContext } from './context.ts';
import type { Decided, Decision } from './decide.ts';
import { type MadePlate, makeAny } from './make-plate.ts';
import { type OpenInput, turnedSize } from './open-input.ts';
import { stripName } from './open-plate.ts';
import { type PlacedPicture, type PlannedPlate, planWhole } from './plan-plate.ts';
import { plateName } from './plate-file.ts';
import type { OpenPlate, Prepared, PrepareRequest } from './request.ts';
import { bandRowsFor, type JudgeSetup, newPlateId } from './setup.ts';
import { tellPlate } from './tell-plate.ts';
import { writeWhole } from './write-whole.ts';

/** A picture that is decoded, and all that is ready for its plate. */
interface ReadyPlate {
  readonly input: OpenInput;
  readonly decoded: Picture;
  readonly decision: Decision;
  readonly set: FileSet;
  readonly open: OpenPlate;
  readonly pool: Pool;
}

/** Makes the plate of a decoded picture, which it closes, and puts all files in place, or none where a caution forbids it. */
export async function makeDecoded(
  request: PrepareRequest,
  { input, decoded, decision, set, open, pool }: ReadyPlate,
  context: RunContext,
): Promise<Prepared> {
  const { job: wanted, making } = request;
  const { signal, progress } = context;
  const clearing = clearingOf(wanted, making);
  const id = newPlateId();
  let clears: MadeClearing | null = null;
  try {
    const picture = placed(decoded, wanted.rotateDeg);
    const { size, source } = picture;
    const isInk = inkIn(request) !== null;
    const decided = await decision.forPicture(source, layPlate(wanted, size), size.ppiX, isInk);
    const planned = await planWhole(request, decided, input, picture, signal);
    const made = await drawPlate(id, request, decided, planned, picture, open, pool, context);
    progress('judging', 0, 1);
    const judged = await made.judge(clearing?.plan.finePasses ?? depthOf(decided.job, making).passes);
    clears = await clearPlate(clearing, request, decided, planned, made, judged, open, pool, context);
    const plate = { decided, picture, planned, made, clears };
    const told = await tellPlate(request, plate, judged);
    const print = printOf(request, decided, planned);
    const printed = request.keepsBits && made.setup ? { ...print, ...bitsIn(made.setup) } : null;
    const { measured } = decided;
    if (told.refused || request.output.to === 'nowhere') {
      await set.abandon();
      const report = told.reportWith([]);
      return { report, refused: told.refused, written: [], streamPath: null, measured, printed };
    }
    const report = await writeWhole(request, open, plate, told, print, pool, context);
    signal.throwIfAborted();
    await set.commit();
    return { ...wrote(request, context, report, open.report !== null), measured, printed };
  } finally {
    clears?.drop();
    pool.drop(id);
    decoded.close();
  }
}

/** The picture as it lies on the plate; a drawing has its pixels only once it is decoded. */
const placed = (
  { facts, scratch }: Pick<Picture, 'facts' | 'scratch'>,
  rotateDeg: RotateDeg,
): PlacedPicture => ({
  facts,
  size: turnedSize(facts, rotateDeg),
  source: { scratch, codes: facts, orientation: composeOrientation(facts.orientation, rotateDeg) },
});

const inkIn = ({ input }: PrepareRequest): Bitmap | null => ('ink' in input ? input.ink : null);

/** Screens and finishes a plate that is planned. */
function drawPlate(
  id: number,
  request: PrepareRequest,
  { job, built }: Decided,
  { plan }: PlannedPlate,
  { source }: PlacedPicture,
  { files }: OpenPlate,
  pool: Pool,
  context: RunContext,
): Promise<MadePlate> {
  const { packs, draws } = screens[job.screen];
  const head: PlateHead = {
    widthPx: plan.layout.widthPx,
    heightPx: plan.layout.heightPx,
    dpi: job.dpi,
    ...request.stored,
    packing: packs,
    bandRows: bandRowsFor[draws],
  };
  const drawn = { ink: inkIn(request), before: request.etchedBefore ?? null };
  return makeAny(id, job, request.making, plan, built, source, drawn, head, files, pool, context);
}

/** Draws and judges the clearing plates of a finished one; null where none are asked for, or it has no bits. */
async function clearPlate(
  clearing: Clearing | null,
  request: PrepareRequest,
  { job }: Decided,
  { plan }: PlannedPlate,
  { setup }: MadePlate,
  { time }: JudgedPlate,
  open: OpenPlate,
  pool: Pool,
  context: RunContext,
): Promise<MadeClearing | null> {
  const { making, stored } = request;
  if (!clearing || !setup) return null;
  const told = { setup, mirrored: plan.finish.mirror, job, making, clearing, stored };
  const files = { fineFile: open.files[0]?.name ?? null, open: open.clearing };
  return makeClearing({ ...told, ...files }, time, pool, context);
}

/** How the plate is printed. */
const printOf = (
  { making }: PrepareRequest,
  { job }: Decided,
  { plan }: PlannedPlate,
): Omit<PrintAs, 'settings'> => ({
  process: job.process,
  mirrored: plan.finish.mirror,
  maxPoolMm: making.sheet.limits.maxPoolMm?.mm ?? null,
  stretch: stretchOf(job),
});

const bitsIn = ({ bitmap, spot }: JudgeSetup): Pick<ProofRequest, 'bitmap' | 'spot'> => ({ bitmap, spot });

/** What is told of a plate whose files are in place. */
function wrote(
  request: PrepareRequest,
  context: RunContext,
  report: Report,
  withReport: boolean,
): Omit<Prepared, 'measured' | 'printed'> {
  const { output, name } = request;
  if (output.to === 'nowhere') throw new Error('nothing is written nowhere');
  const reports = withReport && output.reportPath !== null ? [output.reportPath] : [];
  if (output.to === 'stream') {
    const [only] = request.formats;
    const streamPath = only ? join(context.scratchFolder, plateName(name, only)) : null;
    return { report, refused: false, written: reports, streamPath };
  }
  const files = report.files.map((file) => join(output.folder, file.name));
  const strips = request.job.controlStrip ? [join(output.folder, stripName(name))] : [];
  return { report, refused: false, written: [...files, ...strips, ...reports], streamPath: null };
}
