import { basename, extname, join } from 'node:path';
import { thisRun } from '../cli/owner.ts';
import { EtchError, JobError, type Problem } from '../core/errors.ts';
import type { Caution, Report } from '../report/schema.ts';
import { preparePlate } from '../run/plate/prepare.ts';
import { openSession } from '../run/session.ts';
import { runSchema } from '../run/settings.ts';
import { settleJob } from '../run/settle-job.ts';
import { readWorkshop } from '../run/workshop-file.ts';

export { type Caution, EtchError, JobError, type Problem, type Report };

/** What `prepare` is told. Lengths in millimetres, or in words such as `12cm`; everything else as in job files. */
export interface PrepareOptions {
  /** Path of the picture. */
  readonly picture: string;
  /** Settings of the job under their names in job files, such as `process`, `widthMm`, `screen`. */
  readonly job: Readonly<Record<string, unknown>>;
  /** Folder for the files; null makes everything but writes nothing. The working folder unless given. */
  readonly out?: string | null;
  /** Stem of the file names; that of the picture unless given. */
  readonly name?: string;
  readonly format?: readonly ('png' | 'tiff' | 'bmp' | 'pdf')[];
  /** Path of a workshop file; none unless given, whatever lies in the working folder. */
  readonly workshop?: string;
  readonly proof?: boolean;
  readonly holdmap?: boolean;
  readonly jobsheet?: boolean;
  /** Replace files that are there already; never the picture. */
  readonly overwrite?: boolean;
  /** Treat a caution as a refusal. */
  readonly strict?: boolean;
  /** Threads; by the size of the plate unless given. */
  readonly workers?: number;
  /** Stops the work; nothing half made is left. */
  readonly signal?: AbortSignal;
  /** Told how far the work is: the step's name, and done of so many. */
  readonly onProgress?: (step: string, done: number, of: number) => void;
}

/** What `prepare` made. */
export interface PreparedPlate {
  readonly report: Report;
  /** True where a caution forbids the plate; then nothing was written. */
  readonly refused: boolean;
  /** Paths written, in order. */
  readonly files: readonly string[];
}

/**
 * Makes a plate of a picture, as the command of the same name does: reads, screens, judges, writes, reads back. Throws
 * JobError with every problem of the settings at once, and EtchError where the picture cannot be read or a file not be
 * written; its `kind` says whose fault it is. No notebook is kept and no curve looked up.
 */
export async function prepare(options: PrepareOptions): Promise<PreparedPlate> {
  const { picture, out = '.', overwrite = false } = options;
  const workshopFile = options.workshop ?? null;
  const workshop = workshopFile === null ? null : await readWorkshop(workshopFile);
  const format = [...(options.format ?? ['png'])];
  const run = runSchema.parse({
    format,
    proof: options.proof ?? false,
    holdmap: options.holdmap ?? false,
    jobsheet: options.jobsheet ?? false,
  });
  const { settled, problems } = await settleJob([{ origin: 'job', name: 'job', values: options.job }], run, {
    workshop,
    workshopFile,
    given: null,
    keptFor: async () => [],
  });
  if (settled === null) throw new JobError(problems);
  const name = options.name ?? basename(picture, extname(picture));
  const { fire, tiff } = run;
  const session = await openSession({
    owner: thisRun(),
    workers: options.workers,
    signal: options.signal ?? new AbortController().signal,
    progress: options.onProgress ?? (() => undefined),
  });
  try {
    const { report, refused, written } = await preparePlate(
      {
        input: { path: picture, name: basename(picture) },
        name,
        ...settled,
        formats: out === null ? [] : format,
        stored: { fire, tiff },
        output:
          out === null
            ? { to: 'nowhere' }
            : {
                to: 'files',
                folder: out,
                reportPath: join(out, `${name}.report.json`),
                overwrite,
                protect: [picture, ...(options.workshop === undefined ? [] : [options.workshop])],
              },
        looking: run,
        outlineMask: null,
        strict: options.strict ?? false,
      },
      session.context,
    );
    return { report, refused, files: written };
  } finally {
    await session.close();
  }
}
