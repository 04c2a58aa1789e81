import type { WasmFunction } from '../wasm/assemble.ts';
import { openWasm } from '../wasm/open.ts';
import type { PlaneSize } from './box.ts';
import type { InkPlane } from './ink.ts';
import { NEAREST_OF_FOUR } from './share-text.ts';

/** Ink of a whole print, a byte each: 0 none, 255 solid. */
export interface KeptInk extends PlaneSize {
  readonly bytes: Uint8Array;
}

const BYTE = 255;

/** The share that each byte stands for: looking it up is cheaper than dividing. */
const SHARE = Float32Array.from({ length: BYTE + 1 }, (_, byte) => byte / BYTE);

/** The nearest byte of a share, which is never below 0. */
const byteOf = (share: number): number => (share * BYTE + 0.5) | 0;

/** Ink in steps of a byte: what a light print is drawn of, be it kept or not. */
export function inBytes({ rows, ...size }: InkPlane): InkPlane {
  return {
    ...size,
    rows: (y, into) => {
      rows(y, into);
      inSteps(into);
    },
  };
}

/** The same plane, every row of which is kept as it is asked for. `plain` does without WebAssembly: the same bytes. */
export function keepingInk(
  { rows, ...size }: InkPlane,
  { bytes, widthPx }: KeptInk,
  plain = false,
): InkPlane {
  const keep = (plain ? null : keepingByVectors(widthPx)) ?? keepPlainly;
  return {
    ...size,
    rows: (y, into) => {
      rows(y, into);
      keep(into, bytes, y * widthPx);
    },
  };
}

/** A plane that was kept whole, as `inBytes` gives it. */
export const keptPlane = ({ bytes, widthPx, heightPx }: KeptInk): InkPlane => ({
  widthPx,
  heightPx,
  kept: bytes,
  rows: (y, into) => fromBytes(bytes, y * widthPx, into),
});

/** Four shares at a time, until `ink` is at `end`; 255 and a half stand at `factors`. */
const bytesOf: WasmFunction = {
  params: ['ink', 'factors', 'to', 'end'],
  i32: [],
  v128: ['most', 'half', 'four'],
  text: `
    local.get $factors  v128.load64_splat  local.set $most
    local.get $factors  v128.load64_splat offset=8  local.set $half
    loop
      local.get $to
      ${NEAREST_OF_FOUR}
      i8x16.shuffle 0 4 16 20 0 4 16 20 0 4 16 20 0 4 16 20  i32x4.extract_lane 0  i32.store
      local.get $to  i32.const 4  i32.add  local.set $to
      local.get $ink  i32.const 16  i32.add  local.tee $ink  local.get $end  i32.lt_u  br_if 0
    end`,
};
const kernels = { bytesOf };

/** Writes a row's bytes from `at` on. */
type Keep = (ink: Float32Array, bytes: Uint8Array, at: number) => void;

function keepingByVectors(width: number): Keep | null {
  const room = Math.ceil(width / 4) * 4;
  const [factorsAt, inkAt] = [0, 16];
  const bytesAt = inkAt + room * Float32Array.BYTES_PER_ELEMENT;
  const opened = openWasm(kernels, bytesAt + room + 8);
  if (opened === null) return null;
  const { buffer, run } = opened;
  new Float64Array(buffer, factorsAt, 2).set([BYTE, 0.5]);
  const floats = new Float32Array(buffer, inkAt, width);
  // as far behind a whole word as the row is in its own memory: what threads share is copied by the byte else
  const starts = Array.from({ length: 8 }, (_, i) => new Uint8Array(buffer, bytesAt + i, width));
  return (ink, bytes, at) => {
    floats.set(ink);
    const row = starts[(bytes.byteOffset + at) & 7]!;
    run.bytesOf(inkAt, factorsAt, row.byteOffset, inkAt + floats.byteLength);
    bytes.set(row, at);
  };
}

// loops by themselves, not in closures: compiled apart from what calls them
function keepPlainly(ink: Float32Array, bytes: Uint8Array, at: number): void {
  for (let x = 0; x < ink.length; x++) bytes[at + x] = byteOf(ink[x]!);
}

function inSteps(ink: Float32Array): void {
  for (let x = 0; x < ink.length; x++) ink[x] = SHARE[byteOf(ink[x]!)]!;
}

function fromBytes(bytes: Uint8Array, at: number, ink: Float32Array): void {
  for (let x = 0; x < ink.length; x++) ink[x] = SHARE[bytes[at + x]!]!;
}
