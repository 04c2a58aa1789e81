import { basename } from 'node:path';
import { JobError } from '../../core/errors.ts';
import type { AnySeparation } from '../../core/separations/contract.ts';
import { type SeparationKind, separations } from '../../core/separations/index.ts';
import { inkOf } from '../../job/inks.ts';
import { lookingSchema } from '../../job/proof-settings.ts';
import { jobSha256 } from '../../report/job-hash.ts';
import type { SetReport } from '../../report/set/schema.ts';
import type { PlateEntry } from '../../store/notebook/entry.ts';
import { curveOfPlate } from '../calibration/measured-curves.ts';
import { plateDraft } from '../records/drafts.ts';
import { setSha256 } from '../sets/asked.ts';
import type { PlateJob, SeparateRequest } from '../sets/request.ts';
import { makeSet } from '../sets/separate.ts';
import { separateSettings } from '../sets/settings.ts';
import { compareBits, formatsOf, openDifferences, sameFiles, sheetOf, tiffOf } from './compare.ts';
import type { Again, MadeAgain, Remaking } from './contract.ts';
import { findInputs, type WantedInput } from './inputs.ts';
import { entryOnRecord } from './on-record.ts';
import { remakeRequest } from './plate.ts';

/** The report of a set, and where it lies. */
export interface RememberedSet {
  readonly label: string;
  readonly folder: string;
  readonly report: SetReport;
}

type SetPlate = SetReport['plates'][number];

/** Its pictures: one for each plate, or the one that was divided, and the one that divided it. */
function picturesOf({ report: { plates, asked, cut } }: RememberedSet): WantedInput[] {
  const pictures = plates.map(({ name, report: { input } }) => ({
    what: `picture of plate ${name}`,
    ...input,
    paths: [],
  }));
  if (asked.plates.length > 0) return pictures;
  const map = cut?.map ? [{ what: 'map of the pieces', ...cut.map, paths: [] }] : [];
  return [{ ...pictures[0]!, what: 'picture' }, ...map];
}

/** The method of the record. Throws a JobError where this version does not know it, or its settings. */
function methodOf({ asked }: SetReport, label: string): SeparateRequest['method'] {
  if (asked.by === null) return null;
  const wrong = (message: string) =>
    new JobError([
      { code: 'bad-value', message: `${label}: ${message}`, hint: 'Make the set with `separate` instead.' },
    ]);
  if (!Object.hasOwn(separations, asked.by)) throw wrong(`there is no method "${asked.by}" here`);
  const def = separations[asked.by as SeparationKind] as unknown as AnySeparation;
  const params = def.params.safeParse(asked.method);
  if (!params.success) throw wrong(`the settings of the method ${asked.by} are not those of this version`);
  return { def, params: params.data };
}

/** The job of one plate as it was made, whole. */
function plateJob(set: RememberedSet, { name, report }: SetPlate, again: Again): PlateJob {
  const label = `${set.label}, plate ${name}`;
  const curve =
    report.curve && curveOfPlate(label, { ...report, machine: report.workshop.machine }, report.curve);
  return remakeRequest({ label, job: report.job, material: report.material, curve }, again.workshop);
}

/** The settings of all plates; only canvas and picture of it count, since every plate has a job of its own. */
function baseJob({ label, report }: RememberedSet, again: Again): PlateJob {
  const { material } = report.plates[0]!.report;
  const job = { ...report.asked.job, ...sheetOf(material, again.workshop) };
  return remakeRequest({ label, job, material, curve: null }, again.workshop);
}

const isMade = (made: SetReport, { name }: SetPlate): SetPlate | undefined =>
  made.plates.find((plate) => plate.name === name);

type Jobs = ReadonlyMap<string, Readonly<Record<string, unknown>>>;

/** Settings of plates by their names, as a notebook holds them, where the record of a plate was changed since. */
async function jobsOnRecord({ report: { plates } }: RememberedSet, notebook: string | null): Promise<Jobs> {
  const jobs = new Map<string, PlateEntry['job']>();
  for (const { name, report } of plates.filter(isChanged)) {
    const isIt = ({ bitsSha256 }: PlateEntry) => bitsSha256 === report.bitsSha256;
    const entry = await entryOnRecord(notebook, 'plate', isIt);
    if (entry) jobs.set(name, entry.job);
  }
  return jobs;
}

const isChanged = ({ report: { job, jobSha256: was } }: SetPlate): boolean => jobSha256(job) !== was;

function compareSets({ label, report: was }: RememberedSet, is: SetReport, jobs: Jobs): MadeAgain['remade'] {
  const { list, add, addAll, addTool, addChanged } = openDifferences();
  const picture = (plate: SetPlate | undefined) => plate?.report.input.sha256;
  // whatever its plates are called now, one picture stays one
  if (was.asked.plates.length === 0) add('picture', picture(was.plates[0]), picture(is.plates[0]));
  else
    for (const plate of was.plates)
      add(`picture of ${plate.name}`, picture(plate), picture(isMade(is, plate)));
  if (was.cut?.map) add('map of the pieces', was.cut.map.sha256, is.cut?.map?.sha256);
  addTool(was.tool, is.tool);
  const flat = ({ asked: { method, settings, ...rest } }: SetReport) => ({ ...rest, ...method, ...settings });
  addAll({ ...flat(was), job: null }, { ...flat(is), job: null });
  addAll(was.asked.job, is.asked.job);
  for (const plate of was.plates) {
    const now = isMade(is, plate);
    if (now) addAll(jobs.get(plate.name) ?? plate.report.job, now.report.job, `${plate.name}: `);
  }
  addChanged(setSha256(was) !== was.askedSha256 || was.plates.some(isChanged), label);
  const files = ({ plates }: SetReport) => plates.flatMap(({ report }) => report.files);
  const bits = ({ plates }: SetReport) =>
    plates.map(({ name, report: { bitsSha256 } }) => ({ name, bitsSha256 }));
  return {
    kind: 'set',
    ...compareBits(bits(was), bits(is)),
    sameFiles: sameFiles(files(was), files(is)),
    differences: list,
    written: [],
    report: is,
  };
}

async function makeAgain(
  set: RememberedSet,
  again: Again,
  context: Parameters<Remaking['make']>[1],
): Promise<MadeAgain> {
  const { label, folder, report: was } = set;
  const { asked } = was;
  const name = again.name ?? was.name;
  const wanted = picturesOf(set);
  const paths = await findInputs(wanted, { label, folder, given: again.input, notebook: again.notebook });
  const files = was.plates.flatMap(({ report }) => report.files);
  const pictures = asked.plates.map((plate, i) => ({ plate, path: paths[i]!, name: basename(paths[i]!) }));
  const { paperColour, inkColour } = lookingSchema.partial().parse(pick(asked.settings, lookingSchema));
  const request: SeparateRequest = {
    name,
    picture: asked.plates.length > 0 ? null : { path: paths[0]!, name: basename(paths[0]!) },
    pieceMap: was.cut?.map ? { path: paths[1]!, name: basename(paths[1]!) } : null,
    pictures,
    method: methodOf(was, label),
    inks: asked.inks?.map((ink) => inkOf(ink.name, ink.colour, ink.opaque)) ?? null,
    settings: separateSettings.parse(pick(asked.settings, separateSettings)),
    paper: null,
    base: baseJob(set, again),
    own: new Map(was.plates.map((plate) => [plate.name, plateJob(set, plate, again)])),
    formats: formatsOf(label, files, again),
    stored: { fire: files.find(({ fire }) => fire !== null)?.fire ?? 'dark', tiff: tiffOf(files, again) },
    folder: again.folder,
    overwrite: again.overwrite,
    protect: [...again.protect, ...paths],
    looking: lookingSchema.parse({
      ...(paperColour === undefined ? {} : { paperColour }),
      ...(inkColour === undefined ? {} : { inkColour }),
    }),
    strict: false,
    expects: {
      bits: new Map(was.plates.map((plate) => [plate.name, plate.report.bitsSha256])),
      anyway: again.anyway,
    },
  };
  const { report, refused, written } = await makeSet(request, context);
  return {
    remade: { ...compareSets(set, report, await jobsOnRecord(set, again.notebook)), written: [...written] },
    refused,
    cautions: [...report.cautions, ...report.plates.flatMap((plate) => plate.report.cautions)],
    entries: report.plates.map((plate) => ({
      name: `${name}.${plate.name}`,
      picture: pictures.find((one) => one.plate === plate.name)?.path ?? paths[0]!,
      draft: (run) => plateDraft(plate.report, run),
    })),
  };
}

/** Those of some values that a schema knows. */
const pick = (values: Readonly<Record<string, unknown>>, { shape }: { readonly shape: object }) =>
  Object.fromEntries(Object.entries(values).filter(([key]) => Object.hasOwn(shape, key)));

/** Makes a set again. */
export const remakeSet = (set: RememberedSet): Remaking => ({
  label: set.label,
  make: (again, context) => makeAgain(set, again, context),
});
