import { countWord } from '../bitmap.ts';
import type { WasmFunction } from '../wasm/assemble.ts';
import { openWasm } from '../wasm/open.ts';

/** One region: the words of an earlier one (−1: of the pixels that cover all) and what is added to them. */
export interface Step {
  readonly parent: number;
  readonly extras: readonly number[];
  readonly units: number;
}

/** Words of pixels, and their unions step by step. */
export interface Unions {
  /** Most words in a row. */
  readonly words: number;
  /** To be filled: the pixels that cover all, and each of the others. */
  readonly always: Int32Array;
  readonly reached: readonly Int32Array[];
  /** Bits set in the union of step `i`, in the first `length` words; steps are asked for in their order. */
  count(i: number, length: number): number;
}

/**
 * Writes the union of `bytes` bytes of all rows whose addresses stand from `list` to `listEnd` to `into`, and how many of its bits
 * are set to `answer`. Bytes are counted by sixteen.
 */
const union: WasmFunction = {
  params: ['list', 'listEnd', 'into', 'bytes', 'answer'],
  i32: ['x', 'at'],
  v128: ['words', 'sum'],
  text: `
    loop
      local.get $list  local.tee $at  i32.load  local.get $x  i32.add  v128.load  local.set $words
      loop
        local.get $at  i32.load  local.get $x  i32.add  v128.load
        local.get $words  v128.or  local.set $words
        local.get $at  i32.const 4  i32.add  local.tee $at  local.get $listEnd  i32.lt_u  br_if 0
      end
      local.get $into  local.get $x  i32.add  local.get $words  v128.store
      local.get $words  i8x16.popcnt  i16x8.extadd_pairwise_i8x16_u  i32x4.extadd_pairwise_i16x8_u
      local.get $sum  i32x4.add  local.set $sum
      local.get $x  i32.const 16  i32.add  local.tee $x  local.get $bytes  i32.lt_u  br_if 0
    end
    local.get $answer
    local.get $sum  i32x4.extract_lane 0  local.get $sum  i32x4.extract_lane 1  i32.add
    local.get $sum  i32x4.extract_lane 2  i32.add  local.get $sum  i32x4.extract_lane 3  i32.add
    i32.store`,
};
const kernels = { union };

/** Room for `words` words of each of `rest` pixels and of each step, on vectors where the engine has them. */
export function openUnions(steps: readonly Step[], rest: number, words: number): Unions {
  return openVectors(steps, rest, words) ?? openPlainUnions(steps, rest, words);
}

function openVectors(steps: readonly Step[], rest: number, words: number): Unions | null {
  const rowBytes = 16 * Math.ceil((words + 3) / 4);
  const rows = 1 + rest + steps.length;
  const lists = steps.map(({ extras }) => 4 * (extras.length + 1));
  const answerAt = rows * rowBytes;
  const opened = openWasm(kernels, answerAt + 4 + lists.reduce((sum, bytes) => sum + bytes, 0));
  if (opened === null) return null;
  const { buffer, run } = opened;
  const row = (i: number): Int32Array => new Int32Array(buffer, i * rowBytes, rowBytes / 4);
  const answer = new Int32Array(buffer, answerAt, 1);
  const places = steps.map(({ parent, extras }, i) => {
    const at = answerAt + 4 + lists.slice(0, i).reduce((sum, bytes) => sum + bytes, 0);
    const from = [parent < 0 ? 0 : 1 + rest + parent, ...extras.map((extra) => 1 + extra)];
    new Int32Array(buffer, at, from.length).set(from.map((i) => i * rowBytes));
    return { at, end: at + 4 * from.length, into: (1 + rest + i) * rowBytes };
  });
  return {
    words,
    always: row(0),
    reached: Array.from({ length: rest }, (_, i) => row(1 + i)),
    count(i, length) {
      const { at, end, into } = places[i]!;
      run.union(at, end, into, 4 * length, answerAt);
      return answer[0]!;
    },
  };
}

/** The same in plain loops: for engines without vectors, and what those are held to. */
export function openPlainUnions(steps: readonly Step[], rest: number, words: number): Unions {
  const row = (): Int32Array => new Int32Array(words + 3);
  const always = row();
  const reached = Array.from({ length: rest }, row);
  const unions = steps.map(row);
  return {
    words,
    always,
    reached,
    count(i, length) {
      const { parent, extras } = steps[i]!;
      return countUnion(unions[parent] ?? always, extras, reached, unions[i]!, length);
    },
  };
}

/** Writes the union of `parent` and the named words, and counts it; the last OR and the count share a loop. */
function countUnion(
  parent: Int32Array,
  extras: readonly number[],
  words: readonly Int32Array[],
  union: Int32Array,
  length: number,
): number {
  let from = parent;
  for (let i = 0; i < extras.length - 1; i++) {
    const more = words[extras[i]!]!;
    for (let j = 0; j < length; j++) union[j] = from[j]! | more[j]!;
    from = union;
  }
  const last = words[extras[extras.length - 1] ?? -1] ?? from;
  let count = 0;
  for (let j = 0; j < length; j++) {
    const word = from[j]! | last[j]!;
    union[j] = word;
    count += countWord(word);
  }
  return count;
}
