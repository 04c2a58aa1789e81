import { createWriteStream } from 'node:fs';
import { rm } from 'node:fs/promises';
import { availableParallelism } from 'node:os';
import { join } from 'node:path';
import type { Readable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import { EtchError } from '../core/errors.ts';
import type { Owner } from '../io/owner.ts';
import { scratchFolder, sweepStaleScratch } from '../io/stale.ts';
import type { Progress } from './bands.ts';
import { openPool, type Pool } from './pool.ts';
import type { RunContext } from './prepare.ts';

export type { Owner };

/** Under this many thousand pixels threads take longer to start than they save. */
const THREADS_FROM_KPX = 3000;
/** Each thread takes some 28 MB; with more of them a large plate would pass the memory that is promised. */
const MOST_DEFAULT_THREADS = 3;

/** Threads that a run takes unless it is told how many. */
export const usualThreads = (): number => Math.min(availableParallelism(), MOST_DEFAULT_THREADS);

export interface SessionOptions {
  readonly owner: Owner;
  /** Threads wanted; undefined leaves it to the size of the plate. */
  readonly workers: number | undefined;
  readonly signal: AbortSignal;
  readonly progress: Progress;
}

/** A run's threads and scratch folder, given to each of its plates; `close` gives everything back. */
export async function openSession(
  options: SessionOptions,
): Promise<{ readonly context: RunContext; close(): Promise<void> }> {
  await sweepStaleScratch(options.owner);
  const scratch = await scratchFolder(options.owner);
  const pools = new Map<number, Pool>();
  const poolFor = (kpx: number): Pool => {
    const threads = options.workers ?? (kpx < THREADS_FROM_KPX ? 1 : usualThreads());
    const pool = pools.get(threads) ?? openPool(threads);
    pools.set(threads, pool);
    return pool;
  };
  return {
    context: {
      poolFor,
      owner: options.owner,
      scratchFolder: scratch,
      builtScreens: new Map(),
      signal: options.signal,
      progress: options.progress,
    },
    async close() {
      for (const pool of pools.values()) await pool.close();
      await rm(scratch, { recursive: true, force: true });
    },
  };
}

/** Saves a piped picture to the scratch folder, since it is read more than once; gives its path. */
export async function spool(from: Readable, folder: string, signal: AbortSignal): Promise<string> {
  const path = join(folder, 'standard-input');
  try {
    await pipeline(from, createWriteStream(path), { signal });
  } catch (error) {
    signal.throwIfAborted();
    throw new EtchError(
      'input',
      'stdin-unreadable',
      `Reading the picture from standard input: ${(error as Error).message}`,
      'Pipe a picture in, such as `cat picture.png | etchwright prepare - …`.',
      error,
    );
  }
  return path;
}
