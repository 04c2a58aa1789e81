import { setImmediate } from 'node:timers/promises';
import { type ResourceLimits, Worker } from 'node:worker_threads';
import { EtchError } from '../core/errors.ts';
import type { AnySetup, Bench, Result, Task } from './bench.ts';
import { LANE_WORTH_BYTES } from './collect.ts';
import { NO_PLATE } from './no-plate.ts';
import type { FromWorker, ToWorker, TravellingError, WorkerData } from './worker.ts';

/** Threads that carry out tasks; one thread means this one. */
export interface Pool {
  readonly threads: number;
  /** Makes a plate known to all threads before its first task. */
  add(setup: AnySetup): void;
  drop(plate: number): void;
  run<T extends Task>(task: T): Promise<Result<T>>;
  close(): Promise<void>;
}

interface Waiting {
  readonly task: Task;
  resolve(result: unknown): void;
  reject(error: unknown): void;
}

/**
 * All work in this thread, one task at a time, letting timers and signals in between. What threads do is read when this one is to do it:
 * with threads of their own runs start without.
 */
function inlinePool(): Pool {
  let bench: Promise<Bench> | undefined;
  let last: Promise<unknown> = Promise.resolve();
  const inTurn = <T>(work: (bench: Bench) => T | Promise<T>): Promise<T> => {
    bench ??= import('./bench.ts').then(({ openBench }) => openBench());
    const [opened, before] = [bench, last];
    const next = before.then(async () => work(await opened));
    // heard of by whoever asked for it
    last = next.catch(() => undefined);
    return next;
  };
  /** A plate that this thread could not be made ready for; tasks of it say why. */
  const unready = new Map<number, unknown>();
  return {
    threads: 1,
    add: (setup) => void inTurn(({ add }) => add(setup)).catch((error) => unready.set(setup.id, error)),
    drop: (plate) =>
      void inTurn(({ drop }) => {
        drop(plate);
        unready.delete(plate);
      }),
    run<T extends Task>(task: T) {
      return inTurn(async (bench): Promise<Result<T>> => {
        await setImmediate();
        if (task.plate !== NO_PLATE && unready.has(task.plate)) throw unready.get(task.plate);
        return (await bench.run(task)) as Result<T>;
      });
    },
    close: async () => undefined,
  };
}

const unpacked = ({ kind, code, message, hint }: TravellingError): EtchError =>
  new EtchError(kind, code, message, hint);

/**
 * Room for young objects in each thread of a plate. They make few objects and large buffers; the engine's own 48 MB let each thread
 * keep 5 to 8 MB of what nobody holds (35 million pixels on two threads: 190 MB with `cell`, 175 with this, in the same time).
 */
const LITTLE_ROOM: ResourceLimits = { maxYoungGenerationSizeMb: 4 };

/** A pool of so many threads; one means this one, which saves starting any. */
export const openPool = (threads: number): Pool =>
  threads <= 1 ? inlinePool() : openThreads(threads, LITTLE_ROOM);

/** A thread that makes plate after plate, each whole, with the engine's own room: it makes objects too, and little room took 1.1 times as long. */
export const openLane = (): Pool => openThreads(1, {}, LANE_WORTH_BYTES);

/** Opens `threads` workers at once, so that they start while the picture is still being decoded. */
function openThreads(threads: number, resourceLimits: ResourceLimits, worthBytes?: number): Pool {
  const queue: (Waiting & { id: number })[] = [];
  const busy = new Map<Worker, Waiting>();
  const idle: Worker[] = [];
  let broken: Error | undefined;
  let ids = 0;

  const start = (worker: Worker): void => {
    const waiting = queue.shift();
    if (!waiting) {
      idle.push(worker);
      return;
    }
    busy.set(worker, waiting);
    worker.postMessage({ task: waiting.task, id: waiting.id } satisfies ToWorker);
  };

  const fail = (error: Error): void => {
    broken = error;
    for (const waiting of [...busy.values(), ...queue.splice(0)]) waiting.reject(error);
    busy.clear();
  };

  const workerData: WorkerData = { worthBytes };
  const workers = Array.from({ length: threads }, () => {
    const worker = new Worker(new URL('./worker.js', import.meta.url), {
      workerData,
      resourceLimits,
    });
    worker.on('error', fail);
    worker.on('message', (message: FromWorker) => {
      const waiting = busy.get(worker);
      busy.delete(worker);
      if ('error' in message) waiting?.reject(message.error);
      else if ('refusal' in message) waiting?.reject(unpacked(message.refusal));
      else waiting?.resolve(message.result);
      start(worker);
    });
    idle.push(worker);
    return worker;
  });

  const tell = (message: ToWorker): void => {
    for (const worker of workers) worker.postMessage(message);
  };

  return {
    threads,
    add: (setup) => tell({ add: setup }),
    drop: (plate) => tell({ drop: plate }),
    run<T extends Task>(task: T) {
      return new Promise<Result<T>>((resolve, reject) => {
        if (broken) {
          reject(broken);
          return;
        }
        queue.push({ task, id: ids++, resolve: resolve as (result: unknown) => void, reject });
        const worker = idle.shift();
        if (worker) start(worker);
      });
    },
    async close() {
      await Promise.all(workers.map((worker) => worker.terminate()));
    },
  };
}
