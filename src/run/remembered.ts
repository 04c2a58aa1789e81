import { basename, dirname } from 'node:path';
import type { MeasuredCurve } from '../job/measured-curve.ts';
import { jobSha256 } from '../report/job-hash.ts';
import type { Report } from '../report/schema.ts';
import type { PlateEntry } from '../store/notebook/entry.ts';
import { curveOfPlate } from './measured-curves.ts';
import { pagesCalled } from './notebook.ts';
import { readReport } from './read-report.ts';

/** A plate as it was made once: all that its bits hung on, and what they were. */
export interface Remembered {
  /** How people know the record: the name of a report, the number of an entry. */
  readonly label: string;
  /** Folder of the record, where its picture may lie. */
  readonly folder: string;
  readonly name: string;
  readonly tool: PlateEntry['tool'];
  readonly input: PlateEntry['input'];
  readonly job: Readonly<Record<string, unknown>>;
  /** True where the record itself shows that its settings are not those the plate was made with. */
  readonly jobChanged: boolean;
  readonly material: PlateEntry['material'];
  readonly curve: MeasuredCurve | null;
  /** Of the mask that its outline was traced from; null where there was none, or the record does not say. */
  readonly maskSha256: string | null;
  readonly files: readonly { readonly format: string; readonly sha256: string }[];
  readonly fire: 'dark' | 'light';
  readonly bitsSha256: string;
}

const SUFFIX = /\.plate\.[a-z]+$/;

const plateFiles = (files: PlateEntry['files'] | Report['files']) =>
  files.filter(({ role }) => role === 'plate');

const stemOf = (files: readonly { readonly name: string }[], fallback: string): string =>
  files[0]?.name.replace(SUFFIX, '') || fallback;

/** Reads the report of a plate. Throws an EtchError of kind 'usage' where it is none. */
async function ofReport(path: string): Promise<Remembered> {
  const report = await readReport(path);
  const files = plateFiles(report.files) as Report['files'];
  return {
    label: basename(path),
    folder: dirname(path),
    name: stemOf(files, basename(path).replace(/(\.report)?\.json$/, '')),
    tool: { version: report.tool.version, engine: report.tool.engine },
    input: { name: report.input.name, sha256: report.input.sha256 },
    job: report.job,
    jobChanged: jobSha256(report.job) !== report.jobSha256,
    material: report.material,
    curve: report.curve && curveOfPlate(path, { ...report, machine: report.workshop.machine }, report.curve),
    maskSha256: report.outline?.maskSha256 ?? null,
    files,
    fire: files[0]?.fire ?? 'dark',
    bitsSha256: report.bitsSha256,
  };
}

/** The plate that an entry of a notebook speaks of. */
async function ofEntry(notebook: string, called: string): Promise<Remembered> {
  const [page] = await pagesCalled(notebook, [called]);
  const { number, plate } = page!;
  return {
    label: `entry ${number}`,
    folder: dirname(notebook),
    name: plate.name,
    tool: plate.tool,
    input: plate.input,
    job: plate.job,
    jobChanged: false,
    material: plate.material,
    curve: plate.curve && curveOfPlate(`entry ${number}`, plate, plate.curve),
    maskSha256: null,
    files: plateFiles(plate.files) as PlateEntry['files'],
    fire: plate.fire,
    bitsSha256: plate.bitsSha256,
  };
}

/** The plate that is meant: a number or id is an entry of the notebook, all else names a report. */
export function rememberedPlate(called: string, notebook: () => Promise<string>): Promise<Remembered> {
  const isEntry = /^(\d+|e[0-9a-f]{3,11})$/i.test(called);
  return isEntry ? notebook().then((path) => ofEntry(path, called)) : ofReport(called);
}
