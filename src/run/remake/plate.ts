import { basename, join } from 'node:path';
import { EtchError, JobError } from '../../core/errors.ts';
import { findByHash } from '../../io/find-by-hash.ts';
import { type Layer, resolveJob } from '../../job/layers.ts';
import { type KnownWorkshop, resolveMaking } from '../../job/making.ts';
import type { MeasuredCurve } from '../../job/measured-curve.ts';
import { lookingSchema } from '../../job/proof-settings.ts';
import type { Report } from '../../report/schema.ts';
import type { PlateEntry } from '../../store/notebook/entry.ts';
import { preparePlate } from '../plate/prepare.ts';
import type { PrepareRequest } from '../plate/request.ts';
import { plateDraft } from '../records/drafts.ts';
import {
  compareBits,
  formatsOf,
  type KnownFile,
  openDifferences,
  sameFiles,
  sheetOf,
  type Tool,
  tiffOf,
} from './compare.ts';
import type { Again, MadeAgain, Remaking } from './contract.ts';
import { findInputs } from './inputs.ts';
import { entryOnRecord } from './on-record.ts';

/** A plate as it was made once: all that its bits hung on, and what they were. */
export interface Remembered {
  readonly label: string;
  /** Folder of the record, where its picture may lie. */
  readonly folder: string;
  readonly name: string;
  readonly tool: Tool;
  readonly input: { readonly name: string; readonly sha256: string };
  /** Where the picture may lie by what the record says. */
  readonly paths: readonly string[];
  readonly job: Readonly<Record<string, unknown>>;
  /** True where the record itself shows that its settings are not those the plate was made with. */
  readonly jobChanged: boolean;
  /** True where it was made with others: what its set decided may not stand in the record. */
  readonly ofSet: boolean;
  readonly material: PlateEntry['material'];
  readonly curve: MeasuredCurve | null;
  /** Of the mask that its outline was traced from; null where there was none, or the record does not say. */
  readonly maskSha256: string | null;
  readonly files: readonly KnownFile[];
  readonly fire: 'dark' | 'light';
  readonly bitsSha256: string;
}

/** The mask of its outline: the one given, else any file with its hash beside the record or in the working folder. */
async function maskOf(plate: Remembered, given: string | undefined): Promise<PrepareRequest['outlineMask']> {
  const { maskSha256, folder } = plate;
  const path =
    given ?? (maskSha256 === null ? null : await findByHash(maskSha256, '', [...new Set([folder, '.'])]));
  if (path !== null) return { path, name: basename(path) };
  if (maskSha256 === null) return null;
  throw new EtchError(
    'input',
    'mask-not-found',
    `Looking for the mask of ${plate.label}: no file beside it or in this folder has its bytes (SHA-256 ${maskSha256.slice(0, 12)}…)`,
    'Name it with --outline-mask.',
  );
}

/** Everything of the request that the record decides. Throws a JobError where its settings are not known here. */
export function remakeRequest(
  plate: Pick<Remembered, 'label' | 'job' | 'material' | 'curve'>,
  workshop: KnownWorkshop | null,
): Pick<PrepareRequest, 'job' | 'origins' | 'making' | 'curves'> {
  const layer: Layer = {
    origin: 'job',
    name: plate.label,
    values: { ...plate.job, ...sheetOf(plate.material, workshop) },
  };
  const resolved = resolveJob([layer]);
  if (resolved.job === null) throw new JobError(resolved.problems);
  const { making, problems } = resolveMaking(resolved.job, workshop);
  if (problems.length > 0) throw new JobError(problems);
  return {
    job: resolved.job,
    origins: resolved.origins,
    making,
    curves: { given: plate.curve, kept: [] },
  };
}

const ALONE =
  'made alone: what a picture was divided into stands in the .set.json of its set, which `remake` takes';

/**
 * How the plate made again compares with its record. `job` are the settings that the plate was made with where a
 * notebook knows better than a record that was changed since.
 */
function compareRemade(
  plate: Remembered,
  report: Report,
  job: Readonly<Record<string, unknown>> | null,
  written: readonly string[],
): MadeAgain['remade'] {
  const bits = compareBits([plate], [{ name: plate.name, bitsSha256: report.bitsSha256 }]);
  const { list, add, addAll, addTool, addChanged } = openDifferences();
  add('picture', plate.input.sha256, report.input.sha256);
  if (plate.maskSha256 !== null) add('outline mask', plate.maskSha256, report.outline?.maskSha256);
  addTool(plate.tool, report.tool);
  addAll(job ?? plate.job, report.job);
  addChanged(plate.jobChanged, plate.label);
  if (plate.ofSet && !bits.sameBits) add('set', 'a plate of a set', ALONE);
  return {
    kind: 'plate',
    ...bits,
    sameFiles: sameFiles(plate.files, report.files),
    differences: list,
    written: [...written],
    report,
  };
}

async function makeAgain(plate: Remembered, again: Again, context: Parameters<Remaking['make']>[1]) {
  const { folder, overwrite, anyway, notebook } = again;
  const { label, paths, input } = plate;
  const wanted = [{ what: 'picture', ...input, paths }];
  const search = { label, folder: plate.folder, given: again.input, notebook };
  const [path] = await findInputs(wanted, search);
  const outlineMask = await maskOf(plate, again.outlineMask);
  const name = again.name ?? plate.name;
  const inputs = [path!, ...(outlineMask ? [outlineMask.path] : [])];
  const { report, refused, written } = await preparePlate(
    {
      ...remakeRequest(plate, again.workshop),
      input: { path: path!, name: basename(path!) },
      name,
      formats: formatsOf(label, plate.files, again),
      stored: { fire: plate.fire, tiff: tiffOf(plate.files, again) },
      output:
        folder === null
          ? { to: 'nowhere' }
          : {
              to: 'files',
              folder,
              reportPath: join(folder, `${name}.report.json`),
              overwrite,
              protect: [...again.protect, ...inputs],
            },
      looking: lookingSchema.parse({}),
      outlineMask,
      strict: false,
      expects: { bitsSha256: plate.bitsSha256, anyway },
    },
    context,
  );
  const isIt = ({ bitsSha256 }: PlateEntry) => bitsSha256 === plate.bitsSha256;
  const known = plate.jobChanged ? await entryOnRecord(notebook, 'plate', isIt) : null;
  const made: MadeAgain = {
    remade: compareRemade(plate, report, known?.job ?? null, written),
    refused,
    cautions: report.cautions,
    entries: [{ name, picture: path!, draft: (run) => plateDraft(report, run) }],
  };
  return made;
}

/** Makes a plate again. */
export const remakePlate = (plate: Remembered): Remaking => ({
  label: plate.label,
  make: (again, context) => makeAgain(plate, again, context),
});
