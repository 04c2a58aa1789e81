import { basename } from 'node:path';
import { EtchError, type Problem } from '../core/errors.ts';
import { outlines } from '../core/outlines/index.ts';
import { clearingProblems } from '../job/clearing.ts';
import { type Layer, namesScreen, type Origins, resolveJob } from '../job/layers.ts';
import { type KnownWorkshop, type Making, resolveMaking } from '../job/making.ts';
import type { Curves, MeasuredCurve } from '../job/measured-curve.ts';
import type { WantedJob } from '../job/schema.ts';
import { settleScreen } from '../job/screen-place.ts';
import { unstorable } from './formats.ts';
import { lookingClashes } from './looking/clashes.ts';
import type { Asked } from './plate/asked.ts';
import type { RunSettings } from './settings.ts';

/** What a run knows besides its layers: the workshop, and the measured curves. */
export interface Known {
  readonly workshop: KnownWorkshop | null;
  readonly workshopFile: string | null;
  /** The curve asked for by name. */
  readonly given: MeasuredCurve | null;
  /** The curves that the workshop has of a sheet; each sheet's are read once. */
  keptFor(sheet: string | undefined): Promise<readonly MeasuredCurve[]>;
}

/** A job ready to be made into a plate. */
export interface Settled {
  readonly job: WantedJob;
  readonly origins: Origins;
  readonly making: Making;
  readonly curves: Curves;
}

const STREAM = '-';

const curveFiles = () => import('./calibration/measured-curves.ts');

/** Reads the curve that a run names, and stands ready to read those of the workshop. */
export async function openKnown(
  { curve }: Pick<RunSettings, 'curve'>,
  found: Pick<Known, 'workshop' | 'workshopFile'>,
): Promise<Known> {
  const given = curve === undefined ? null : await (await curveFiles()).readMeasuredCurve(curve);
  const { workshop, workshopFile } = found;
  const read = new Map<string, Promise<readonly MeasuredCurve[]>>();
  const keptFor: Known['keptFor'] = async (sheet) => {
    const own = workshop?.workshop.curves.some(({ materialId }) => materialId === sheet);
    if (given || !own || sheet === undefined) return [];
    // set before anything is waited for: all rows of a list ask at once
    const kept =
      read.get(sheet) ??
      curveFiles().then(({ keptCurves }) => keptCurves(workshop!.workshop, workshopFile!, sheet));
    read.set(sheet, kept);
    return kept;
  };
  return { ...found, given, keptFor };
}

/** What a named screen cannot do on this machine and sheet. */
function unsettled(job: WantedJob, making: Making): Problem[] {
  try {
    if (job.screen !== null) settleScreen({ ...job, screen: job.screen }, making);
    return [];
  } catch (error) {
    if (!(error instanceof EtchError)) throw error;
    return [{ code: error.code, message: error.message, hint: error.hint }];
  }
}

/** A curve of the other process is no curve at all: it speaks of the other side of the plate. */
function otherProcess(job: WantedJob, { name, process }: MeasuredCurve): Problem[] {
  if (process === job.process) return [];
  return [
    {
      code: 'curve-of-another-process',
      message: `--curve: ${name} was measured on a plate for ${process}, and this one is for ${job.process}`,
      hint: `Give --process ${process}, or another curve.`,
    },
  ];
}

/** What of an outline has nowhere to go, or nothing to do. */
function outlineClashes(run: RunSettings, job: WantedJob): Problem[] {
  const problems: Problem[] = [];
  if (job.outline !== undefined && run.out === STREAM)
    problems.push({
      code: 'outline-of-stream',
      message: '--out - carries the plate alone, so --outline has nowhere to go',
      hint: 'Give a folder with --out: the plate and its outline lie there together.',
    });
  if (run.outlineMask !== undefined && !(job.outline && outlines[job.outline].traced))
    problems.push({
      code: 'mask-without-shape',
      message: '--outline-mask is given, and no outline that follows it',
      hint: 'Leave it out, or choose --outline shape.',
    });
  return problems;
}

/** What speaks against clearing plates: nothing to plan them by, or nowhere to put them. */
function clearingClashes(run: RunSettings, job: WantedJob, making: Making): Problem[] {
  const problems = clearingProblems(job, making);
  if (!job.clearing || run.out !== STREAM) return problems;
  const message = '--out - carries one plate, and --clearing makes several';
  return [
    ...problems,
    { code: 'clearing-of-stream', message, hint: 'Give a folder with --out: they lie there together.' },
  ];
}

/** From layers, weakest first, to a job ready to be made; null with every problem there is. */
export async function settleJob(
  layers: readonly Layer[],
  run: RunSettings,
  known: Known,
): Promise<{ readonly settled: Settled | null; readonly problems: readonly Problem[] }> {
  const { given } = known;
  // who names a curve and no screen means the screen it was measured with
  const fromCurve =
    given && !layers.some(namesScreen) ? [(await curveFiles()).curveLayer(run.curve!, given)] : [];
  const { job, origins, problems } = resolveJob([...fromCurve, ...layers]);
  const made = job && resolveMaking(job, known.workshop);
  const all = [
    ...(job ? outlineClashes(run, job) : []),
    ...lookingClashes(run, { streams: run.out === STREAM, dryRun: run.dryRun }, job),
    ...problems,
    ...(made?.problems ?? []),
    ...(job && made ? clearingClashes(run, job, made.making) : []),
    ...(job && given ? otherProcess(job, given) : []),
    ...(job?.screen && made ? unsettled(job, made.making) : []),
    ...(job?.screen ? unstorable(job.screen, run.format, run.tiff) : []),
  ];
  if (all.length > 0 || job === null || made === null) return { settled: null, problems: all };
  const curves = { given, kept: await known.keptFor(job.material) };
  return { settled: { job, origins, making: made.making, curves }, problems: [] };
}

/** The mask of the outlines, by the name that reports have it by. */
export const outlineMaskOf = ({
  outlineMask,
}: {
  readonly outlineMask?: RunSettings['outlineMask'] | undefined;
}): Asked['outlineMask'] =>
  outlineMask === undefined ? null : { path: outlineMask, name: basename(outlineMask) };
