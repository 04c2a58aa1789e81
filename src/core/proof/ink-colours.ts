import type { WasmFunction } from '../wasm/assemble.ts';
import { openWasm } from '../wasm/open.ts';
import { FIRST_HALVES } from '../wasm/shuffles.ts';
import { NEAREST_OF_FOUR } from './share-text.ts';

/** Shares of one ink whose colours are kept: a fifth of a code even in the blacks, and few enough to stay in the nearest cache. */
export const INK_STEPS = 8192;

/** Paints rows of one ink. */
export interface InkPainter {
  /** From shares, 0 … 1, as many as are wide: to `bytes`, red, green and blue, from `at` on. */
  paint(ink: Float32Array, bytes: Uint8Array, at: number): void;
  /** Likewise from bytes of ink, 0 none and 255 solid: `count` of `kept` from `from` on, behind `left` pixels without ink. */
  paintKept(kept: Uint8Array, from: number, count: number, left: number, bytes: Uint8Array, at: number): void;
}

/** The place of a colour is on the stack; writes it to pixel `i`, and a byte beyond. */
const write = (i: number): string => `i32.load  i32.store offset=${3 * i}`;

const next = (from: string, bytes: number): string => `
  local.get $to  i32.const 12  i32.add  local.set $to
  local.get ${from}  i32.const ${bytes}  i32.add  local.tee ${from}  local.get $end  i32.lt_u  br_if 0`;

/** Four pixels at a time, from shares; `most` and a half stand at `factors`. */
const shares: WasmFunction = {
  params: ['ink', 'factors', 'colours', 'to', 'end'],
  i32: [],
  v128: ['most', 'half', 'four'],
  text: `
    local.get $factors  v128.load64_splat  local.set $most
    local.get $factors  v128.load64_splat offset=8  local.set $half
    loop
      ${NEAREST_OF_FOUR}
      ${FIRST_HALVES}
      i32.const 2  i32x4.shl  local.get $colours  i32x4.splat  i32x4.add  local.set $four
      ${[0, 1, 2, 3].map((i) => `local.get $to  local.get $four  i32x4.extract_lane ${i}  ${write(i)}`).join('\n')}
      ${next('$ink', 16)}
    end`,
};

/** Four pixels at a time, from bytes. */
const kept: WasmFunction = {
  params: ['ink', 'colours', 'to', 'end'],
  i32: [],
  v128: [],
  text: `
    loop
      ${[0, 1, 2, 3]
        .map(
          (i) => `local.get $to
            local.get $ink  i32.load8_u offset=${i}  i32.const 2  i32.shl  local.get $colours  i32.add  ${write(i)}`,
        )
        .join('\n')}
      ${next('$ink', 4)}
    end`,
};
const kernels = { shares, kept };

/** The step of each byte of ink. */
const STEP_OF_BYTE = Int32Array.from(
  { length: 256 },
  (_, byte) => (Math.fround(byte / 255) * INK_STEPS + 0.5) | 0,
);

/**
 * A painter of rows of `width` pixels; `colours` are those of 0 … `INK_STEPS` shares, as 0xbbggrr. `plain` does without WebAssembly: the
 * same bytes.
 */
export function openInkPainter(colours: Int32Array, width: number, plain = false): InkPainter {
  const ofBytes = Int32Array.from(STEP_OF_BYTE, (step) => colours[step]!);
  return (plain ? null : byVectors(colours, ofBytes, width)) ?? plainly(colours, ofBytes, width);
}

function byVectors(colours: Int32Array, ofBytes: Int32Array, width: number): InkPainter | null {
  const room = Math.ceil(width / 4) * 4;
  const [factorsAt, byteColoursAt] = [0, 16];
  const coloursAt = byteColoursAt + ofBytes.byteLength;
  const inkAt = (coloursAt + colours.byteLength + 15) & ~15;
  // bytes lie apart: of shares, what is behind the last of a row is looked up too
  const keptAt = inkAt + room * Float32Array.BYTES_PER_ELEMENT;
  const paintedAt = keptAt + room + 8;
  // the last pixel is written with a byte beyond
  const opened = openWasm(kernels, paintedAt + 3 * room + 1);
  if (opened === null) return null;
  const { buffer, run } = opened;
  new Float64Array(buffer, factorsAt, 2).set([INK_STEPS, 0.5]);
  new Int32Array(buffer, byteColoursAt, ofBytes.length).set(ofBytes);
  new Int32Array(buffer, coloursAt, colours.length).set(colours);
  const floats = new Float32Array(buffer, inkAt, width);
  const inBytes = new Uint8Array(buffer, keptAt, room + 8);
  const painted = new Uint8Array(buffer, paintedAt, 3 * width);
  return {
    paint(ink, bytes, at) {
      floats.set(ink);
      run.shares(inkAt, factorsAt, coloursAt, paintedAt, inkAt + floats.byteLength);
      bytes.set(painted, at);
    },
    paintKept(ink, from, count, left, bytes, at) {
      // as far behind a whole word as in its own memory: what threads share is copied by the byte else
      const start = (ink.byteOffset + from - left) & 7;
      inBytes.fill(0);
      if (count > 0) inBytes.set(ink.subarray(from, from + count), start + left);
      run.kept(keptAt + start, byteColoursAt, paintedAt, keptAt + start + width);
      bytes.set(painted, at);
    },
  };
}

function plainly(colours: Int32Array, ofBytes: Int32Array, width: number): InkPainter {
  const row = new Uint8Array(width);
  return {
    paint: (ink, bytes, at) => paintShares(ink, colours, bytes, at),
    paintKept(ink, from, count, left, bytes, at) {
      row.fill(0);
      if (count > 0) row.set(ink.subarray(from, from + count), left);
      paintBytes(row, ofBytes, bytes, at);
    },
  };
}

function paintShares(ink: Float32Array, colours: Int32Array, bytes: Uint8Array, at: number): void {
  for (let x = 0, to = at; x < ink.length; x++, to += 3)
    setColour(colours[(ink[x]! * INK_STEPS + 0.5) | 0]!, bytes, to);
}

function paintBytes(ink: Uint8Array, colours: Int32Array, bytes: Uint8Array, at: number): void {
  for (let x = 0, to = at; x < ink.length; x++, to += 3) setColour(colours[ink[x]!]!, bytes, to);
}

function setColour(colour: number, bytes: Uint8Array, at: number): void {
  bytes[at] = colour;
  bytes[at + 1] = colour >> 8;
  bytes[at + 2] = colour >> 16;
}
