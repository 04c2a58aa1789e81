/** Adler-32 as defined in RFC 1950, section 8.2: two sums modulo the largest prime below 65,536. */

import type { WasmFunction } from '../../core/wasm/assemble.ts';
import { openWasm } from '../../core/wasm/open.ts';

const PRIME = 65_521;

/**
 * Bytes summed between two reductions: 65,520·(n + 1) + 255·n·(n + 1)/2 must stay below 2^31 so that
 * the sums remain machine integers.
 */
const RUN_BYTES = 3840;

/** Bytes summed by vectors in one call: sums of 1,024 sixteens stay below 2^31 in each of four lanes. */
const CALL_BYTES = 16_384;

/**
 * Sums the bytes from `at` to `end`, sixteen at a time, in lanes: themselves; what was summed before each sixteen; each by its place in
 * its sixteen, the first 16 times. `answer` gets the four lanes of each, and `weights` holds the numbers 16 to 1 of 16 bits.
 */
const sums: WasmFunction = {
  params: ['at', 'end', 'weights', 'answer'],
  i32: [],
  v128: ['bytes', 'all', 'before', 'placed', 'first', 'second'],
  text: `
    local.get $weights  v128.load  local.set $first
    local.get $weights  v128.load offset=16  local.set $second
    loop
      local.get $before  local.get $all  i32x4.add  local.set $before
      local.get $at  v128.load  local.tee $bytes
      i16x8.extadd_pairwise_i8x16_u  i32x4.extadd_pairwise_i16x8_u  local.get $all  i32x4.add  local.set $all
      local.get $bytes  i16x8.extend_low_i8x16_u  local.get $first  i32x4.dot_i16x8_s
      local.get $bytes  i16x8.extend_high_i8x16_u  local.get $second  i32x4.dot_i16x8_s
      i32x4.add  local.get $placed  i32x4.add  local.set $placed
      local.get $at  i32.const 16  i32.add  local.tee $at  local.get $end  i32.lt_u  br_if 0
    end
    local.get $answer  local.get $all  v128.store
    local.get $answer  local.get $before  v128.store offset=16
    local.get $answer  local.get $placed  v128.store offset=32`,
};
const kernels = { sums };
const ANSWER_AT = CALL_BYTES + 32;

function openSums() {
  const opened = openWasm(kernels, ANSWER_AT + 48);
  if (opened === null) return null;
  const { buffer, run } = opened;
  new Int16Array(buffer, CALL_BYTES, 16).set(Array.from({ length: 16 }, (_, i) => 16 - i));
  return { bytes: new Uint8Array(buffer, 0, CALL_BYTES), lanes: new Int32Array(buffer, ANSWER_AT, 12), run };
}

/** Opened once in each thread; null where the engine has no vectors. */
let vectors: ReturnType<typeof openSums> | undefined;

const laneSum = (lanes: Int32Array, from: number): number =>
  lanes[from]! + lanes[from + 1]! + lanes[from + 2]! + lanes[from + 3]!;

/** Checksum of `bytes` alone, as an unsigned 32-bit number; by vectors in a fifth of the time where there are any. */
export function adler32(bytes: Uint8Array): number {
  if (bytes.length < CALL_BYTES) return plainAdler32(bytes);
  if (vectors === undefined) vectors = openSums();
  if (vectors === null) return plainAdler32(bytes);
  const { bytes: room, lanes, run } = vectors;
  let a = 1;
  let b = 0;
  let from = 0;
  for (; from + CALL_BYTES <= bytes.length; from += CALL_BYTES) {
    room.set(bytes.subarray(from, from + CALL_BYTES));
    run.sums(0, CALL_BYTES, CALL_BYTES, ANSWER_AT);
    b = (b + CALL_BYTES * a + 16 * laneSum(lanes, 4) + laneSum(lanes, 8)) % PRIME;
    a = (a + laneSum(lanes, 0)) % PRIME;
  }
  const rest = bytes.length - from;
  return rest === 0
    ? b * 0x10000 + a
    : combineAdler32(b * 0x10000 + a, plainAdler32(bytes.subarray(from)), rest);
}

/** The same in a plain loop: for few bytes, engines without vectors, and what those are held to. */
export function plainAdler32(bytes: Uint8Array): number {
  let a = 1;
  let b = 0;
  for (let from = 0; from < bytes.length; from += RUN_BYTES) {
    const to = Math.min(from + RUN_BYTES, bytes.length);
    let i = from;
    // four bytes at a time, in two thirds of the time: the first of them is in all four sums
    for (const fours = to - 3; i < fours; i += 4) {
      const one = a + bytes[i]!;
      const two = one + bytes[i + 1]!;
      const three = two + bytes[i + 2]!;
      a = (three + bytes[i + 3]!) | 0;
      b = (b + one + two + three + a) | 0;
    }
    for (; i < to; i++) {
      a = (a + bytes[i]!) | 0;
      b = (b + a) | 0;
    }
    a %= PRIME;
    b %= PRIME;
  }
  return b * 0x10000 + a;
}

/**
 * Checksum of two runs of bytes laid end to end, from their own checksums and the second one's length.
 *
 * Every byte of the second run adds the first run's sum once more to the high half, and each half of
 * the second checksum started from (1, 0) instead of where the first one ended.
 */
export function combineAdler32(first: number, second: number, secondBytes: number): number {
  const a1 = first % 0x10000;
  const a2 = second % 0x10000;
  const b1 = Math.floor(first / 0x10000);
  const b2 = Math.floor(second / 0x10000);
  const a = (a1 + a2 + PRIME - 1) % PRIME;
  const b = (b1 + b2 + secondBytes * ((a1 + PRIME - 1) % PRIME)) % PRIME;
  return b * 0x10000 + a;
}
