import { createWriteStream } from 'node:fs';
import { rm } from 'node:fs/promises';
import { availableParallelism } from 'node:os';
import { join } from 'node:path';
import type { Readable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import { EtchError } from '../core/errors.ts';
import type { Owner } from '../io/owner.ts';
import { scratchFolder, sweepStaleScratch } from '../io/stale.ts';
import type { Progress } from './plate/bands.ts';
import type { RunContext } from './plate/context.ts';
import { openLane, openPool, type Pool } from './pool.ts';
import { expectManyPlates } from './tiering.ts';

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
export interface Session {
  /** For plates that are made one after the other, each on as many threads as it is worth. */
  readonly context: RunContext;
  /** For plates that are made side by side, each whole on a thread of its own; one lane is this thread. */
  lanes(count: number): readonly RunContext[];
  close(): Promise<void>;
}

export async function openSession(options: SessionOptions): Promise<Session> {
  await sweepStaleScratch(options.owner);
  const scratch = await scratchFolder(options.owner);
  const pools = new Map<number, Pool>();
  const poolFor = (kpx: number): Pool => {
    const threads = options.workers ?? (kpx < THREADS_FROM_KPX ? 1 : usualThreads());
    const pool = pools.get(threads) ?? openPool(threads);
    pools.set(threads, pool);
    return pool;
  };
  const lanePools: Pool[] = [];
  const context: RunContext = {
    poolFor,
    owner: options.owner,
    scratchFolder: scratch,
    builtScreens: new Map(),
    signal: options.signal,
    progress: options.progress,
  };
  return {
    context,
    lanes(count) {
      expectManyPlates();
      return Array.from({ length: count }, () => {
        const pool = count === 1 ? openPool(1) : openLane();
        lanePools.push(pool);
        return { ...context, poolFor: () => pool };
      });
    },
    async close() {
      for (const pool of [...pools.values(), ...lanePools]) await pool.close();
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
