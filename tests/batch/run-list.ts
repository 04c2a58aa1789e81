/** A list run within this process, as the command line does, into a folder. */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { lookingSchema } from '../../src/job/proof-settings.ts';
import { type BatchReport, batchSchema } from '../../src/report/batch/schema.ts';
import { runBatch } from '../../src/run/batch/batch.ts';
import { readEntries } from '../../src/run/batch/entries.ts';
import { openSession } from '../../src/run/session.ts';
import { runSchema } from '../../src/run/settings.ts';
import { openKnown } from '../../src/run/settle-job.ts';
import { sha256 } from '../run/judges.ts';

export interface ListRun {
  readonly report: BatchReport;
  /** Rows in the order they were told. */
  readonly told: readonly number[];
}

export interface ListOptions {
  readonly flags?: Readonly<Record<string, unknown>>;
  readonly run?: Readonly<Record<string, unknown>>;
  readonly resume?: boolean;
  readonly part?: { readonly index: number; readonly of: number };
}

const owner = { hostId: 'test', pid: process.pid, isAlive: () => true };

/** Runs lists or job files into `out`, on this thread. */
export async function runList(
  paths: readonly string[],
  out: string,
  options: ListOptions = {},
): Promise<ListRun> {
  const run = { ...runSchema.parse({ out, ...options.run }), ...lookingSchema.parse({}) };
  const known = await openKnown(run, { workshop: null, workshopFile: null });
  const entries = await readEntries(paths, async () => new Uint8Array(), ['format']);
  const layers = [{ origin: 'flag', name: '', values: { dpi: 150, ...options.flags } }] as const;
  const { signal } = new AbortController();
  const session = await openSession({ owner, workers: undefined, signal, progress: () => undefined });
  const told: number[] = [];
  try {
    const { report } = await runBatch(
      {
        entries,
        part: options.part ?? null,
        shared: { layers, run, known, resume: options.resume === true },
        inputs: [],
      },
      { wrongRows: () => undefined, plate: async ({ entry }) => void told.push(entry.row) },
      session.lanes(1),
    );
    return { report: batchSchema.parse(JSON.parse(JSON.stringify(report))), told };
  } finally {
    await session.close();
  }
}

/** The SHA-256 of every file of a folder, by name. */
export const hashesIn = (folder: string): Record<string, string> =>
  Object.fromEntries(
    readdirSync(folder)
      .sort()
      .map((name) => [name, sha256(readFileSync(join(folder, name)))]),
  );
