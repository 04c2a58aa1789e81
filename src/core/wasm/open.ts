import { assemble, type WasmFunction } from './assemble.ts';

/** Of WebAssembly's JavaScript interface what is used here; Node's types leave it to the browser's. */
declare const WebAssembly:
  | {
      readonly validate: (bytes: Uint8Array<ArrayBuffer>) => boolean;
      readonly Module: new (bytes: Uint8Array<ArrayBuffer>) => object;
      readonly Memory: new (size: { initial: number; maximum: number }) => WasmMemory;
      readonly Instance: new (module: object, imports: object) => { readonly exports: object };
    }
  | undefined;

const PAGE_BYTES = 65536;

/** A memory that functions work in. */
export interface WasmMemory {
  readonly buffer: ArrayBuffer;
}

type Kernels = Readonly<Record<string, WasmFunction>>;

/** A memory and functions that work in it, by its addresses. */
interface Opened<Names extends Kernels> {
  readonly buffer: ArrayBuffer;
  readonly memory: WasmMemory;
  /** Another shape at each opening: loops take their functions out of it first, or the engine throws their code away. */
  readonly run: { readonly [Name in keyof Names]: (...params: number[]) => void };
}

/** Compiled once in each thread; null where the engine cannot. */
const compiled = new WeakMap<Kernels, object | null>();

/** Numbers in such a memory have their lowest byte first, whatever the machine's own order is. */
const lowestByteFirst = new Uint8Array(Uint16Array.of(1).buffer)[0] === 1;

function compile(kernels: Kernels): object | null {
  if (typeof WebAssembly === 'undefined' || !lowestByteFirst) return null;
  const bytes = assemble(kernels);
  return WebAssembly.validate(bytes) ? new WebAssembly.Module(bytes) : null;
}

function reserve(bytes: number, Memory: NonNullable<typeof WebAssembly>['Memory']): WasmMemory {
  const pages = Math.ceil(bytes / PAGE_BYTES);
  return new Memory({ initial: pages, maximum: pages });
}

/**
 * Opens functions over `room` bytes of memory of their own, all 0, or over a memory that others work in too. Null where the engine has no WebAssembly (it can be switched off),
 * not its vectors, another order of bytes, or cannot reserve the addresses it wants for a memory: each caller has a plain way.
 */
export function openWasm<Names extends Kernels>(
  kernels: Names,
  room: number | WasmMemory,
): Opened<Names> | null {
  let module = compiled.get(kernels);
  if (module === undefined) {
    module = compile(kernels);
    compiled.set(kernels, module);
  }
  if (module === null || typeof WebAssembly === 'undefined') return null;
  try {
    const memory = typeof room === 'number' ? reserve(room, WebAssembly.Memory) : room;
    const { exports } = new WebAssembly.Instance(module, { shared: { memory } });
    return { buffer: memory.buffer, memory, run: exports as Opened<Names>['run'] };
  } catch (error) {
    if (error instanceof RangeError) return null;
    throw error;
  }
}
