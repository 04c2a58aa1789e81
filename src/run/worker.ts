import { parentPort, type TransferListItem, workerData } from 'node:worker_threads';
import { EtchError, type FaultKind } from '../core/errors.ts';
import { type AnySetup, openBench, type Task } from './bench.ts';
import { openCollect } from './collect.ts';

/** What the pool sends: a plate to keep ready, one to forget, or a task. */
export type ToWorker =
  | { readonly add: AnySetup }
  | { readonly drop: number }
  | { readonly task: Task; readonly id: number };

/** What a thread is started with. */
export interface WorkerData {
  /** Buffers let go of that are worth a collection; undefined for the usual. */
  readonly worthBytes: number | undefined;
}

/** An EtchError as it travels: between threads an error keeps its message and forgets its class. */
export interface TravellingError {
  readonly kind: FaultKind;
  readonly code: string;
  readonly message: string;
  readonly hint: string;
}

export type FromWorker =
  | { readonly id: number; readonly result: unknown }
  | { readonly id: number; readonly refusal: TravellingError }
  | { readonly id: number; readonly error: unknown };

const bench = openBench();
const collect = openCollect((workerData as WorkerData | null)?.worthBytes);

/** Encoded bands and rows of tone own their memory, so they are moved, not copied. */
function ownedBy(result: unknown): TransferListItem[] {
  const { encoded = [], rows } = (result ?? {}) as { encoded?: { bytes: Uint8Array }[]; rows?: Uint8Array };
  const bytes = encoded.map((band) => band.bytes);
  return (rows ? [rows, ...bytes] : bytes).map(({ buffer }) => buffer as ArrayBuffer);
}

function packed(error: unknown): { refusal: TravellingError } | { error: unknown } {
  if (!(error instanceof EtchError)) return { error };
  const { kind, code, message, hint } = error;
  return { refusal: { kind, code, message, hint } };
}

async function carryOut({ task, id }: { readonly task: Task; readonly id: number }): Promise<void> {
  try {
    const result = await bench.run(task);
    parentPort?.postMessage({ id, result } satisfies FromWorker, ownedBy(result));
    collect();
  } catch (error) {
    parentPort?.postMessage({ id, ...packed(error) } satisfies FromWorker);
  }
}

parentPort?.on('message', (message: ToWorker) => {
  if ('add' in message) bench.add(message.add);
  else if ('drop' in message) bench.drop(message.drop);
  else void carryOut(message);
});
