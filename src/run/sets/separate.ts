import { join } from 'node:path';
import { type FileSet, openFileSet, type Slot } from '../../io/atomic.ts';
import { sweepStale } from '../../io/stale.ts';
import { depthOf } from '../../job/hold-limits.ts';
import { refuses } from '../../report/cautions/index.ts';
import { plainSha256 } from '../../report/job-hash.ts';
import type { SetReport } from '../../report/set/schema.ts';
import { setSheet } from '../../report/set/sheet.ts';
import { openCollect } from '../collect.ts';
import type { RunContext } from '../plate/context.ts';
import { openPlate } from '../plate/open-plate.ts';
import { toldBeside } from '../plate/plate-file.ts';
import type { OpenPlate, Prepared } from '../plate/request.ts';
import { toolFacts } from '../tool.ts';
import { wasteOf } from './aid.ts';
import { setAsked } from './asked.ts';
import { openCutFiles, writeCutFiles } from './cut-files.ts';
import { divide } from './divide/divide.ts';
import type { Division } from './division.ts';
import { plateJobOf } from './jobs.ts';
import { openLooks, writeProofs, writeRegisterMap } from './looks.ts';
import { openPages, writePages } from './pages.ts';
import { makePlates, type PlateRequest } from './plates.ts';
import { toleranceOf } from './register.ts';
import { printingsOf, reportOf } from './report.ts';
import type { PlateJob, SeparateRequest } from './request.ts';
import { openShelves, writeShelves } from './shelves.ts';

export interface MadeSet {
  readonly report: SetReport;
  /** True where the set, or one of its plates, is forbidden; then nothing was written. */
  readonly refused: boolean;
  /** Paths written, in order. */
  readonly written: readonly string[];
}

const setName = (name: string): string => `${name}.set.json`;
const encoded = (text: string): Uint8Array[] => [new TextEncoder().encode(text)];

/** The request for one plate of a set; its files lie among those of the set. */
function requestFor(
  request: SeparateRequest,
  division: Division,
  index: number,
  plate: PlateJob,
): PlateRequest {
  const { job, origins, making, curves } = plate;
  const { name, folder, looking, expects } = request;
  const ink = division.plates[index]!;
  const stem = `${name}.${ink.name}`;
  const rest = { overwrite: request.overwrite, protect: request.protect };
  const waste = wasteOf(request, division, index, plate);
  return {
    name: stem,
    job,
    origins,
    making,
    curves,
    formats: request.formats,
    stored: request.stored,
    output:
      folder === null
        ? { to: 'nowhere' }
        : { to: 'files', folder, reportPath: join(folder, `${stem}.report.json`), ...rest },
    // the proof is one of all plates together
    looking: { ...looking, proof: false, inkColour: ink.colour },
    outlineMask: null,
    ofSet: plainSha256(setAsked(request)),
    ...(expects
      ? { expects: { anyway: expects.anyway, bitsSha256: expects.bits.get(ink.name) ?? 'none' } }
      : {}),
    strict: request.strict,
    keepsBits: looking.proof || (request.method?.def.oneBlock ?? false),
    ...(waste ? { waste } : {}),
  };
}

/** Opens every file of the set before the first plate is made. */
async function openAll(
  request: SeparateRequest,
  division: Division,
  jobs: readonly PlateJob[],
  plates: readonly PlateRequest[],
  set: FileSet,
  context: RunContext,
) {
  const opened: OpenPlate[] = [];
  for (const plate of plates) opened.push(await openPlate(plate, set, context));
  return {
    opened,
    shelves: await openShelves(request, division, jobs, set),
    pages: await openPages(request, division, jobs, set),
    cuts: await openCutFiles(request, division, set),
    looks: await openLooks(request, printingsOf(division), set),
  };
}

/** Plates of which any stops the set, or with `strict` is cautioned about. */
const refusesAny = (report: SetReport, made: readonly Prepared[], strict: boolean): boolean =>
  made.some(({ refused }) => refused) || refuses(report.cautions, strict);

/**
 * Makes a set of plates for one print: divides the picture, makes each plate, proofs them together and writes them with
 * a report of the set. Either every file of the set is in place at the end, or none is.
 */
export async function makeSet(request: SeparateRequest, context: RunContext): Promise<MadeSet> {
  const { folder, overwrite, protect, strict } = request;
  const set = openFileSet({ owner: context.owner, protect, overwrite });
  let report: Slot | null = null;
  try {
    if (folder !== null) {
      await sweepStale(folder, context.owner);
      report = await set.add(join(folder, setName(request.name)));
    }
    context.progress('reading', 0, 1);
    const collect = openCollect();
    const division = await divide(request, context);
    // labels and all that areas were shaped with, before threads want memory
    collect();
    try {
      const jobs = division.plates.map((_, index) => plateJobOf(request, division, index));
      const plates = jobs.map((plate, index) => requestFor(request, division, index, plate));
      const { opened, shelves, pages, cuts, looks } = await openAll(
        request,
        division,
        jobs,
        plates,
        set,
        context,
      );
      const made = await makePlates(request.method?.def.oneBlock ?? false, division, plates, opened, context);
      const depths = plates.map(({ job, making }) => depthOf(job, making).depthMm);
      const register = toleranceOf(division, request.base.job.dpi, request.settings.register);
      const facts = register?.facts ?? null;
      const bare = reportOf(request, division, jobs, made, facts, depths, await toolFacts());
      const refused = refusesAny(bare, made, strict);
      if (refused || folder === null || report === null) {
        await set.abandon();
        return { report: bare, refused, written: [] };
      }
      const files = [
        ...(await writeCutFiles(request, division, made[0]!.report.plate.mirrored, cuts)),
        ...(await writeShelves(request, jobs, made, shelves, context)),
        ...(await writePages(pages)),
        ...(await writeProofs(request, division, made, looks, context)),
        ...(await writeRegisterMap(request, division, bare.canvas.pitchMm, register, looks, context)),
      ];
      const whole = { ...bare, files };
      if (looks.sheet) {
        await looks.sheet.slot.write(encoded(setSheet(whole)));
        whole.files = [...files, toldBeside(looks.sheet)];
      }
      await report.write(encoded(`${JSON.stringify(whole, null, 2)}\n`));
      context.signal.throwIfAborted();
      await set.commit();
      const written = [
        ...made.flatMap((plate) => plate.written),
        ...whole.files.map(({ name }) => join(folder, name)),
        join(folder, setName(request.name)),
      ];
      return { report: whole, refused: false, written };
    } finally {
      division.close();
    }
  } catch (error) {
    await set.abandon();
    throw error;
  }
}
