import { basename, dirname } from 'node:path';
import { openFileSet } from '../io/atomic.ts';
import { readJsonObject } from '../io/json-file.ts';
import type { Owner } from '../io/owner.ts';
import { sweepStale } from '../io/stale.ts';
import { bitsOf, type Layer } from '../job/layers.ts';
import type { WantedJob } from '../job/schema.ts';

/** Reads a job file as a layer. */
export async function readJobLayer(path: string): Promise<Layer> {
  return { origin: 'job', name: basename(path), values: (await readJsonObject(path, 'job file')).value };
}

export interface SaveJobOptions {
  readonly owner: Owner;
  readonly overwrite: boolean;
  readonly protect: readonly string[];
}

/** A job file to be, under a temporary name, so that a name that cannot be written is told before any work. */
export interface SavedJob {
  /** Writes the job, every value spelt out, so that later versions with other defaults make the same plate, and puts it in place. */
  commit(job: Readonly<Record<string, unknown>>): Promise<void>;
  abandon(): Promise<void>;
}

/** The settings of a job as a file holds them: what decides the bits, and what was said of the making. */
export function savedValues(job: WantedJob, bits = bitsOf(job)): Record<string, unknown> {
  const { material, depthMm, passes } = job;
  return { ...bits, material, depthMm, passes };
}

export async function openSavedJob(path: string, options: SaveJobOptions): Promise<SavedJob> {
  await sweepStale(dirname(path), options.owner);
  const set = openFileSet(options);
  try {
    const slot = await set.add(path);
    return {
      async commit(job) {
        await slot.write([new TextEncoder().encode(`${JSON.stringify(job, null, 2)}\n`)]);
        await set.commit();
      },
      abandon: set.abandon,
    };
  } catch (error) {
    await set.abandon();
    throw error;
  }
}
