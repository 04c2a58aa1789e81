import { readdir } from 'node:fs/promises';
import { basename, dirname, join } from 'node:path';
import type * as z from 'zod';
import { EtchError } from '../../core/errors.ts';
import { readJsonObject } from '../../io/json-file.ts';
import { type TestPlateReport, testPlateReportSchema } from '../../report/calibration/testplate-schema.ts';
import { type GangReport, gangSchema } from '../../report/gang/schema.ts';
import { jobSha256 } from '../../report/job-hash.ts';
import { type Report, reportSchema } from '../../report/schema.ts';
import { type SetReport, setSchema } from '../../report/set/schema.ts';
import { curveOfPlate } from '../calibration/measured-curves.ts';
import type { Remaking } from './contract.ts';
import { remakeGang } from './gang.ts';
import { unreadable } from './not-a-report.ts';
import { remakePlate } from './plate.ts';
import { remakeSet } from './set.ts';
import { remakeTestPlate } from './testplate.ts';

type Files = readonly { readonly role: string; readonly name: string; readonly fire?: unknown }[];

const plateFiles = <File extends Files[number]>(files: readonly File[]): File[] =>
  files.filter(({ role }) => role === 'plate');

const stemOf = (files: Files, path: string): string =>
  plateFiles(files)[0]?.name.replace(/\.plate\.[a-z]+$/, '') ||
  basename(path).replace(/(\.[a-z]+)?\.json$/, '');

const fireOf = (files: Report['files']): 'dark' | 'light' => plateFiles(files)[0]?.fire ?? 'dark';

const toolOf = ({ version, engine }: Report['tool']) => ({ version, engine });

/** The set beside the report of a plate that its picture was divided for; null for none. */
async function setOf(path: string, bitsSha256: string): Promise<string | null> {
  const folder = dirname(path);
  const names = await readdir(folder).catch(() => []);
  for (const name of names.filter((one) => one.endsWith('.set.json')).sort()) {
    const { value } = await readJsonObject(join(folder, name), 'report').catch(() => ({ value: null }));
    const set = setSchema.safeParse(value);
    if (!set.success || set.data.separation === null) continue;
    if (set.data.plates.some(({ report }) => report.bitsSha256 === bitsSha256)) return name;
  }
  return null;
}

async function ofPlate(path: string, report: Report): Promise<Remaking> {
  const set = await setOf(path, report.bitsSha256);
  if (set !== null)
    throw new EtchError(
      'usage',
      'plate-of-a-set',
      `Reading the report ${path}: this plate is one of a set, and its picture was divided for it`,
      `Make the set again: \`etchwright remake ${join(dirname(path), set)}\`.`,
    );
  const { files, job, input } = report;
  return remakePlate({
    label: basename(path),
    folder: dirname(path),
    name: stemOf(files, path),
    tool: toolOf(report.tool),
    input: { name: input.name, sha256: input.sha256 },
    // a list lies where it is run from, or above the plates
    paths:
      input.listed === null
        ? []
        : ['.', dirname(path), join(dirname(path), '..')].map((base) => join(base, input.listed!)),
    job,
    jobChanged: jobSha256(job) !== report.jobSha256,
    ofSet: false,
    material: report.material,
    curve: report.curve && curveOfPlate(path, { ...report, machine: report.workshop.machine }, report.curve),
    maskSha256: report.outline?.maskSha256 ?? null,
    files,
    fire: fireOf(files),
    bitsSha256: report.bitsSha256,
  });
}

async function ofSet(path: string, report: SetReport): Promise<Remaking> {
  return remakeSet({ label: basename(path), folder: dirname(path), report });
}

async function ofTestPlate(path: string, report: TestPlateReport): Promise<Remaking> {
  const { files, job } = report;
  return remakeTestPlate({
    ...report,
    label: basename(path),
    name: report.plates[0]!.name,
    tool: toolOf(report.tool),
    jobChanged: jobSha256(job) !== report.jobSha256,
    fire: fireOf(files),
  });
}

async function ofGang(path: string, report: GangReport): Promise<Remaking> {
  const files = report.sheets.flatMap((sheet) => sheet.files);
  return remakeGang({
    ...report,
    label: basename(path),
    folder: dirname(path),
    name: basename(path).replace(/(\.gang)?\.json$/, ''),
    tool: toolOf(report.tool),
    files,
    fire: fireOf(files),
  });
}

interface ReportKind {
  readonly called: string;
  /** How one is made anew where its report does not tell enough. */
  readonly command: string;
  readonly schema: z.ZodType;
  open(path: string, report: never): Promise<Remaking>;
}

/** Every report that something can be made again from, by what it says of itself. */
const REPORTS: Readonly<Record<string, ReportKind>> = {
  'etchwright/report': { called: 'a plate', command: 'prepare', schema: reportSchema, open: ofPlate },
  'etchwright/set': { called: 'a set', command: 'separate', schema: setSchema, open: ofSet },
  'etchwright/gang': { called: 'a gang', command: 'gang', schema: gangSchema, open: ofGang },
  'etchwright/testplate-report': {
    called: 'a test plate',
    command: 'testplate',
    schema: testPlateReportSchema,
    open: ofTestPlate,
  },
};

const notUsable = (path: string, message: string, hint: string): EtchError =>
  new EtchError('usage', 'report-not-usable', `Reading the report ${path}: ${message}`, hint);

const isMissing = (value: unknown, path: readonly PropertyKey[]): boolean =>
  path.reduce<unknown>((at, key) => (at as Record<PropertyKey, unknown> | undefined)?.[key], value) ===
  undefined;

/** Why a report of a kind that is known is not as this version writes it. */
function faultOf(
  path: string,
  { called, command }: ReportKind,
  value: unknown,
  issue: z.core.$ZodIssue,
): EtchError {
  const place = issue.path.join('.') || 'as a whole';
  if (issue.path.length > 0 && isMissing(value, issue.path))
    return notUsable(
      path,
      `this report of ${called} does not tell "${place}", and without it ${called} cannot be made again. An older etchwright wrote it, or it was changed since`,
      `Make ${called} anew with \`etchwright ${command}\`.`,
    );
  return notUsable(
    path,
    `it is not the report of ${called} as it was written (${place}: ${issue.message})`,
    'Use the report as it was written.',
  );
}

/** Reads a report. Throws an EtchError of kind 'usage' where it is none, or not as it was written. */
export async function openReport(path: string): Promise<Remaking> {
  const { value } = await readJsonObject(path, 'report').catch(async (error: unknown) => {
    throw await unreadable(path, error);
  });
  const named = String(value['schema']);
  const kind = Object.hasOwn(REPORTS, named) ? REPORTS[named]! : null;
  if (kind === null)
    throw notUsable(
      path,
      'it is not the report of a plate, a set, a gang or a test plate',
      'Name the .report.json, .set.json or .gang.json that was written beside it.',
    );
  const parsed = kind.schema.safeParse(value);
  if (parsed.success) return kind.open(path, parsed.data as never);
  throw faultOf(path, kind, value, parsed.error.issues[0]!);
}
