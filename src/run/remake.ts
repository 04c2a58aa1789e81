import { basename } from 'node:path';
import { EtchError, JobError } from '../core/errors.ts';
import { findByHash, sha256OfFile } from '../io/find-by-hash.ts';
import { type Layer, resolveJob } from '../job/layers.ts';
import { type KnownWorkshop, resolveMaking } from '../job/making.ts';
import type { Report } from '../report/schema.ts';
import { pagesOf } from './notebook.ts';
import type { PrepareRequest } from './prepare.ts';
import type { Remembered } from './remembered.ts';

/** One thing in which a plate made again differs from what its record says. */
export interface Difference {
  readonly what: string;
  readonly was: string;
  readonly is: string;
}

/** What came of making a plate again. */
export interface Remade {
  readonly sameBits: boolean;
  readonly was: string;
  readonly is: string;
  /** True where every plate file of the record that was made again has the very same bytes; null where none was. */
  readonly sameFiles: boolean | null;
  /** Picture, versions, settings that are not what they were; all that the program can know of why bits differ. */
  readonly differences: readonly Difference[];
}

/**
 * The picture of a remembered plate: the one given, else the one with its hash beside the record or in the working
 * folder. Throws an EtchError of kind 'input' where it is not to be found.
 */
export async function pictureOf(plate: Remembered, given: string | undefined): Promise<string> {
  if (given !== undefined) return given;
  const { name, sha256 } = plate.input;
  const found = await findByHash(sha256, basename(name), [...new Set([plate.folder, '.'])]);
  if (found !== null) return found;
  const other = await sha256OfFile(basename(name));
  throw new EtchError(
    'input',
    'picture-not-found',
    `Looking for the picture of ${plate.label}: no file beside it or in this folder is "${name}" as it was (SHA-256 ${sha256.slice(0, 12)}…)${other === null ? '' : '; the one of that name here has other bytes'}`,
    'Name it with --input. One with other bytes is taken too, and it is told that it is another.',
  );
}

/** The mask of its outline: the one given, else any file with its hash beside the record or in the working folder. */
export async function maskOf(
  plate: Remembered,
  given: string | undefined,
): Promise<PrepareRequest['outlineMask']> {
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

/** The sheet is named as the workshop of today knows it: by its id, else by its kind. */
function sheetOf({ material }: Remembered, workshop: KnownWorkshop | null): Record<string, unknown> {
  if (material === null) return {};
  const isKept = workshop?.workshop.materials.some(({ id }) => id === material.id) ?? false;
  const { confirmedBy } = material;
  return {
    material: isKept ? material.id : (material.kind ?? material.id),
    ...(confirmedBy === null ? {} : { materialConfirmed: confirmedBy }),
  };
}

/** Everything of the request that the record decides. Throws a JobError where its settings are not known here. */
export function remakeRequest(
  plate: Remembered,
  workshop: KnownWorkshop | null,
): Pick<PrepareRequest, 'job' | 'origins' | 'making' | 'curves'> {
  const layer: Layer = {
    origin: 'job',
    name: plate.label,
    values: { ...plate.job, ...sheetOf(plate, workshop) },
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

const shown = (value: unknown): string =>
  value === undefined ? 'not set' : typeof value === 'string' ? value : JSON.stringify(value);

/** The settings that a notebook holds of a plate with these bits; null where it has none. */
export async function jobOnRecord(notebook: string, bitsSha256: string): Promise<Remembered['job'] | null> {
  for await (const { plate } of pagesOf(notebook, () => undefined))
    if (plate.bitsSha256 === bitsSha256) return plate.job;
  return null;
}

/**
 * How the plate made again compares with its record. `job` are the settings that the plate was made with where a
 * notebook knows better than a record that was changed since.
 */
export function compareRemade(plate: Remembered, report: Report, job: Remembered['job'] | null): Remade {
  const differences: Difference[] = [];
  const add = (what: string, was: unknown, is: unknown): void => {
    if (shown(was) !== shown(is)) differences.push({ what, was: shown(was), is: shown(is) });
  };
  add('picture', plate.input.sha256, report.input.sha256);
  if (plate.maskSha256 !== null) add('outline mask', plate.maskSha256, report.outline?.maskSha256);
  add('version', plate.tool.version, report.tool.version);
  for (const part of ['algorithms', 'sharp', 'libvips'] as const)
    add(part, plate.tool.engine[part], report.tool.engine[part]);
  const before = job ?? plate.job;
  for (const key of new Set([...Object.keys(before), ...Object.keys(report.job)]))
    add(key, before[key], report.job[key]);
  if (plate.jobChanged)
    differences.push({
      what: 'settings',
      was: 'as the plate was made',
      is: `changed in ${plate.label} since`,
    });
  const files = report.files.filter(({ role }) => role === 'plate');
  const again = plate.files.filter(({ format }) => files.some((file) => file.format === format));
  return {
    sameBits: plate.bitsSha256 === report.bitsSha256,
    was: plate.bitsSha256,
    is: report.bitsSha256,
    sameFiles:
      again.length === 0 ? null : again.every(({ sha256 }) => files.some((file) => file.sha256 === sha256)),
    differences,
  };
}
