import { basename, dirname } from 'node:path';
import { type FileSet, openFileSet } from '../io/atomic.ts';
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

/**
 * Writes the whole job, every value spelt out, so that later versions with other defaults make the same plate. It
 * lies under a temporary name until `commit`, so that a name that cannot be written is told before any work.
 */
export async function saveJob(path: string, job: WantedJob, options: SaveJobOptions): Promise<FileSet> {
  const { material, depthMm, passes } = job;
  const values = { ...bitsOf(job), material, depthMm, passes };
  await sweepStale(dirname(path), options.owner);
  const set = openFileSet(options);
  try {
    const slot = await set.add(path);
    await slot.write([new TextEncoder().encode(`${JSON.stringify(values, null, 2)}\n`)]);
    return set;
  } catch (error) {
    await set.abandon();
    throw error;
  }
}
