import { readdir } from 'node:fs/promises';
import { basename, dirname, join } from 'node:path';
import type * as z from 'zod';
import { EtchError } from '../../core/errors.ts';
import { readJsonObject } from '../../io/json-file.ts';
import { type GangReport, gangSchema } from '../../report/gang/schema.ts';
import { jobSha256 } from '../../report/job-hash.ts';
import { type Report, reportSchema } from '../../report/schema.ts';
import { type SetReport, setSchema } from '../../report/set/schema.ts';
import { type TestPlateReport, testPlateReportSchema } from '../../report/calibration/testplate-schema.ts';
import type { GangEntry, PlateEntry, RunEntry, TestPlateEntry } from '../../store/notebook/entry.ts';
import { kindOf } from '../../store/notebook/kinds/index.ts';
import { curveOfPlate } from '../calibration/measured-curves.ts';
import { pagesCalled } from '../records/notebook.ts';
import type { Remaking } from './contract.ts';
import { remakeGang } from './gang.ts';
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
  readonly schema: z.ZodType;
  open(path: string, report: never): Promise<Remaking>;
}

/** Every report that something can be made again from, by what it says of itself. */
const REPORTS: Readonly<Record<string, ReportKind>> = {
  'etchwright/report': { schema: reportSchema, open: ofPlate },
  'etchwright/set': { schema: setSchema, open: ofSet },
  'etchwright/gang': { schema: gangSchema, open: ofGang },
  'etchwright/testplate-report': { schema: testPlateReportSchema, open: ofTestPlate },
};

/** Reads a report. Throws an EtchError of kind 'usage' where it is none, or not as it was written. */
async function ofReport(path: string): Promise<Remaking> {
  const { value } = await readJsonObject(path, 'report');
  const named = String(value['schema']);
  const kind = Object.hasOwn(REPORTS, named) ? REPORTS[named]! : REPORTS['etchwright/report']!;
  const parsed = kind.schema.safeParse(value);
  if (parsed.success) return kind.open(path, parsed.data as never);
  const [issue] = parsed.error.issues;
  throw new EtchError(
    'usage',
    'report-not-usable',
    `Reading the report ${path}: it is not the report of a plate, a set, a gang or a test plate as it was written (${issue?.path.join('.') || 'as a whole'}: ${issue?.message})`,
    'Name the .report.json, .set.json or .gang.json that was written beside it.',
  );
}

/** Where an entry stands. */
interface At {
  readonly label: string;
  readonly folder: string;
}

function plateEntry(entry: PlateEntry, at: At): Remaking {
  const { input } = entry;
  return remakePlate({
    ...at,
    ...entry,
    paths: input.path === null ? [] : [join(at.folder, input.path)],
    jobChanged: false,
    ofSet: entry.command === 'separate',
    curve: entry.curve && curveOfPlate(at.label, entry, entry.curve),
    maskSha256: null,
  });
}

const testPlateEntry = (entry: TestPlateEntry, at: At): Remaking =>
  remakeTestPlate({ ...at, ...entry, jobChanged: false });

const gangEntry = (entry: GangEntry, at: At): Remaking => remakeGang({ ...at, ...entry });

const ENTRIES: { readonly [Kind in RunEntry['kind']]?: (entry: never, at: At) => Remaking } = {
  plate: plateEntry,
  testplate: testPlateEntry,
  gang: gangEntry,
};

/** What an entry of the notebook speaks of. */
async function ofEntry(notebook: string, called: string): Promise<Remaking> {
  const [page] = await pagesCalled(notebook, [called]);
  const { number, entry } = page!;
  const open = ENTRIES[entry.kind];
  if (open) return open(entry as never, { label: `entry ${number}`, folder: dirname(notebook) });
  throw new EtchError(
    'usage',
    'nothing-to-remake',
    `Entry ${number} of ${notebook} is ${kindOf(entry).called}: there are no bits to make again`,
    'Read its scans again with `etchwright calibrate`.',
  );
}

/** What is meant: a number or id is an entry of the notebook, all else names a report. */
export function openRecorded(called: string, notebook: () => Promise<string>): Promise<Remaking> {
  const isEntry = /^(\d+|e[0-9a-f]{3,11})$/i.test(called);
  return isEntry ? notebook().then((path) => ofEntry(path, called)) : ofReport(called);
}
