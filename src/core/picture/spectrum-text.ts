import type { WasmFunction } from '../wasm/assemble.ts';
import { FIRST_HALVES, LATTER_HALF } from '../wasm/shuffles.ts';
import {
  ACROSS_AT,
  ACROSS_TURNS_AT,
  DOWN_AT,
  DOWN_TURNS_AT,
  LINE_AT,
  MEAN_AT,
  PLACES_AT,
  ROW,
  SCALE_AT,
  TONE_SUMS_AT,
} from './memory.ts';
import { TILE_PX } from './tiles.ts';

/** Sums of tones and of their squares, from address `at` to `end`; whole vectors, the last filled up with 0. */
const sums: WasmFunction = {
  params: ['at', 'end'],
  i32: [],
  v128: ['tone', 'ones', 'sum', 'squares', 'both'],
  text: `
    i32.const 1  i16x8.splat  local.set $ones
    loop
      local.get $at  v128.load  local.tee $tone
      local.get $ones  i32x4.dot_i16x8_s  local.get $sum  i32x4.add  local.set $sum
      local.get $tone  local.get $tone  i32x4.dot_i16x8_s  local.tee $both  i64x2.extend_low_i32x4_u
      local.get $both  i64x2.extend_high_i32x4_u  i64x2.add
      local.get $squares  i64x2.add  local.set $squares
      local.get $at  i32.const 16  i32.add  local.tee $at  local.get $end  i32.lt_u  br_if 0
    end
    i32.const ${TONE_SUMS_AT}  local.get $sum  v128.store
    i32.const ${TONE_SUMS_AT + 16}  local.get $squares  v128.store`,
};

/** Two of eight tones, the former of what is on the stack, less the mean and times both weights. */
const weighted = (from: string, at: number): string => `
  local.get $into
  ${from}  f64x2.convert_low_i32x4_s
  local.get $mean  f64x2.sub
  local.get $across  v128.load offset=${ACROSS_AT + 8 * at}  f64x2.mul
  local.get $weight  f64x2.mul
  v128.store offset=${8 * at}`;

/** Tones from `at` to `end`, row by row, under the window to rows of numbers, `pitch` bytes apart, from `into` on. Beyond a row its weights are 0. */
const lay: WasmFunction = {
  params: ['at', 'end', 'rowBytes', 'into', 'pitch'],
  i32: ['across', 'down', 'next', 'row'],
  v128: ['tone', 'four', 'mean', 'weight'],
  text: `
    i32.const ${MEAN_AT}  v128.load64_splat  local.set $mean
    loop
      local.get $at  local.get $rowBytes  i32.add  local.set $next
      local.get $into  local.set $row
      local.get $down  v128.load64_splat offset=${DOWN_AT}  local.set $weight
      i32.const 0  local.set $across
      loop
        local.get $at  v128.load  local.tee $tone  i32x4.extend_low_i16x8_s  local.set $four
        ${weighted('local.get $four', 0)}
        ${weighted(`local.get $four  local.get $four  ${LATTER_HALF}`, 2)}
        local.get $tone  i32x4.extend_high_i16x8_s  local.set $four
        ${weighted('local.get $four', 4)}
        ${weighted(`local.get $four  local.get $four  ${LATTER_HALF}`, 6)}
        local.get $across  i32.const 64  i32.add  local.set $across
        local.get $into  i32.const 64  i32.add  local.set $into
        local.get $at  i32.const 16  i32.add  local.tee $at  local.get $next  i32.lt_u  br_if 0
      end
      local.get $next  local.set $at
      local.get $row  local.get $pitch  i32.add  local.set $into
      local.get $down  i32.const 8  i32.add  local.set $down
      local.get $at  local.get $end  i32.lt_u  br_if 0
    end`,
};

/** Locals of a step of four. */
const FOUR = ['x0', 'y0', 'x1', 'y1', 'x2', 'y2', 'x3', 'y3', 'x', 'y', 'c1', 's1', 'c2', 's2', 'c3', 's3'];

const sumAndRest = (first: string, second: string, offset: number, sum: string, rest: string): string => `
  local.get ${first}  v128.load offset=${offset}  local.tee $x
  local.get ${second}  v128.load offset=${offset}  local.tee $y
  f64x2.add  local.set ${sum}
  local.get $x  local.get $y  f64x2.sub  local.set ${rest}`;

/** Where the imaginary parts of the numbers at an address are: behind another address, and how many bytes. */
interface Imaginary {
  readonly of: (address: string) => string;
  readonly offset: number;
}
const inLine: Imaginary = { of: (address) => address, offset: ROW };
const inSquare: Imaginary = { of: (address) => `${address}y`, offset: 0 };

/** Stores what is in `$x` and `$y`, turned. */
const turned = (to: string, turn: number, { of, offset }: Imaginary): string => `
  local.get ${to}
  local.get $x  local.get $c${turn}  f64x2.mul  local.get $y  local.get $s${turn}  f64x2.mul  f64x2.sub
  v128.store
  local.get ${of(to)}
  local.get $x  local.get $s${turn}  f64x2.mul  local.get $y  local.get $c${turn}  f64x2.mul  f64x2.add
  v128.store offset=${offset}`;

/** Four numbers, at addresses `$p`, `$q`, `$r` and `$t`, become their sums, the latter three turned. */
const four = (imaginary: Imaginary): string => {
  const { of, offset } = imaginary;
  return `
  ${sumAndRest('$p', '$r', 0, '$x0', '$x1')}
  ${sumAndRest(of('$p'), of('$r'), offset, '$y0', '$y1')}
  ${sumAndRest('$q', '$t', 0, '$x2', '$x3')}
  ${sumAndRest(of('$q'), of('$t'), offset, '$y2', '$y3')}
  local.get $p  local.get $x0  local.get $x2  f64x2.add  v128.store
  local.get ${of('$p')}  local.get $y0  local.get $y2  f64x2.add  v128.store offset=${offset}
  local.get $x1  local.get $y3  f64x2.add  local.set $x
  local.get $y1  local.get $x3  f64x2.sub  local.set $y
  ${turned('$q', 1, imaginary)}
  local.get $x0  local.get $x2  f64x2.sub  local.set $x
  local.get $y0  local.get $y2  f64x2.sub  local.set $y
  ${turned('$r', 2, imaginary)}
  local.get $x1  local.get $y3  f64x2.sub  local.set $x
  local.get $y1  local.get $x3  f64x2.add  local.set $y
  ${turned('$t', 3, imaginary)}`;
};

/** Addresses that lie `$shift` bytes apart each. */
const shifted = (first: string, ...others: readonly string[]): string =>
  others
    .map((other, i) => `local.get ${others[i - 1] ?? first}  local.get $shift  i32.add  local.set ${other}`)
    .join('\n');

const turns = (load: string, bytes: number): string =>
  ['c1', 's1', 'c2', 's2', 'c3', 's3']
    .map((name, i) => `local.get $turn  ${load} offset=${bytes * i}  local.set $${name}`)
    .join('\n');

/**
 * One step of the transform of columns, `wide` bytes of them from address `at` on, their imaginary parts `apart` bytes further on: rows
 * `shift` bytes apart go together, and from one to the next, `pitch` bytes, the table of turns is `skip` bytes further on.
 */
const columns: WasmFunction = {
  params: ['at', 'wide', 'apart', 'pitch', 'shift', 'skip'],
  i32: ['end', 'row', 'rowsEnd', 'turn', 'pEnd', 'p', 'q', 'r', 't', 'py', 'qy', 'ry', 'ty'],
  v128: FOUR,
  text: `
    local.get $pitch  i32.const ${TILE_PX}  i32.mul  local.get $at  i32.add  local.set $end
    loop
      local.get $at  local.tee $row  local.get $shift  i32.add  local.set $rowsEnd
      i32.const ${DOWN_TURNS_AT}  local.set $turn
      loop
        ${turns('v128.load64_splat', 8)}
        local.get $row  local.tee $p  local.get $wide  i32.add  local.set $pEnd
        loop
          ${shifted('$p', '$q', '$r', '$t')}
          local.get $p  local.get $apart  i32.add  local.set $py
          ${shifted('$py', '$qy', '$ry', '$ty')}
          ${four(inSquare)}
          local.get $p  i32.const 16  i32.add  local.tee $p  local.get $pEnd  i32.lt_u  br_if 0
        end
        local.get $turn  local.get $skip  i32.add  local.set $turn
        local.get $row  local.get $pitch  i32.add  local.tee $row  local.get $rowsEnd  i32.lt_u  br_if 0
      end
      local.get $at  local.get $shift  i32.const 2  i32.shl  i32.add  local.tee $at  local.get $end  i32.lt_u  br_if 0
    end`,
};

/**
 * The last step of columns, pairs of rows: `wide` bytes of one from address `at` to `end`. The next is `pitch` bytes further on.
 */
const pairs: WasmFunction = {
  params: ['at', 'end', 'wide', 'pitch'],
  i32: ['p', 'q', 'pEnd'],
  v128: ['x', 'y', 'sum', 'rest'],
  text: `
    loop
      local.get $at  local.tee $p  local.get $wide  i32.add  local.set $pEnd
      loop
        local.get $p  local.get $pitch  i32.add  local.set $q
        ${sumAndRest('$p', '$q', 0, '$sum', '$rest')}
        local.get $p  local.get $sum  v128.store
        local.get $q  local.get $rest  v128.store
        local.get $p  i32.const 16  i32.add  local.tee $p  local.get $pEnd  i32.lt_u  br_if 0
      end
      local.get $at  local.get $pitch  i32.const 1  i32.shl  i32.add  local.tee $at  local.get $end  i32.lt_u  br_if 0
    end`,
};

/**
 * Two real columns went as one: takes a frequency of them apart, twice as large, from its row at `one` and that of its negative at `other`,
 * `wide` bytes of real parts and as many of imaginary ones. The first of the two columns are the former half of the line.
 */
const part: WasmFunction = {
  params: ['one', 'other', 'wide'],
  i32: ['to', 'oneY', 'otherY', 'latter'],
  v128: ['x', 'y', 'others', 'sum'],
  text: `
    local.get $one  local.get $wide  i32.add  local.set $oneY
    local.get $other  local.get $wide  i32.add  local.set $otherY
    local.get $wide  local.set $latter
    loop
      local.get $to
      local.get $one  v128.load  local.tee $x  local.get $other  v128.load  local.tee $others  f64x2.add
      v128.store offset=${LINE_AT}
      local.get $latter  local.get $others  local.get $x  f64x2.sub  v128.store offset=${LINE_AT + ROW}
      local.get $latter
      local.get $oneY  v128.load  local.tee $y  local.get $otherY  v128.load  local.tee $others  f64x2.add
      v128.store offset=${LINE_AT}
      local.get $to  local.get $y  local.get $others  f64x2.sub  v128.store offset=${LINE_AT + ROW}
      local.get $one  i32.const 16  i32.add  local.set $one
      local.get $other  i32.const 16  i32.add  local.set $other
      local.get $oneY  i32.const 16  i32.add  local.set $oneY
      local.get $otherY  i32.const 16  i32.add  local.set $otherY
      local.get $latter  i32.const 16  i32.add  local.set $latter
      local.get $to  i32.const 16  i32.add  local.tee $to  local.get $wide  i32.lt_u  br_if 0
    end`,
};

/** Sums and rests of pairs that lie side by side, four numbers: of real or of imaginary parts. */
const sides = (offset: number, sum: string, rest: string): string => `
  local.get $at  v128.load offset=${offset}  local.tee $x
  local.get $at  v128.load offset=${offset + 16}  local.tee $y  ${FIRST_HALVES}  local.tee $x0
  local.get $x  local.get $y  i8x16.shuffle 8 9 10 11 12 13 14 15 24 25 26 27 28 29 30 31  local.tee $y0
  f64x2.add  local.set ${sum}
  local.get $x0  local.get $y0  f64x2.sub  local.set ${rest}`;

const squares = (x: string, y: string, offset: number): string => `
  local.get $at
  local.get ${x}  local.get ${x}  f64x2.mul  local.get ${y}  local.get ${y}  f64x2.mul  f64x2.add
  v128.store offset=${offset}`;

/** The transform of the line, two numbers side by side at once; what comes out is squared and takes the place of the real parts. */
const line: WasmFunction = {
  params: [],
  i32: ['at', 'shift', 'turn', 'turns', 'p', 'q', 'r', 't', 'pEnd'],
  v128: FOUR,
  text: `
    i32.const ${ROW / 4}  local.set $shift
    i32.const ${ACROSS_TURNS_AT}  local.set $turns
    loop
      i32.const ${LINE_AT}  local.set $at
      loop
        local.get $at  local.tee $p  local.get $shift  i32.add  local.set $pEnd
        local.get $turns  local.set $turn
        loop
          ${turns('v128.load', 16)}
          ${shifted('$p', '$q', '$r', '$t')}
          ${four(inLine)}
          local.get $turn  i32.const 96  i32.add  local.set $turn
          local.get $p  i32.const 16  i32.add  local.tee $p  local.get $pEnd  i32.lt_u  br_if 0
        end
        local.get $at  local.get $shift  i32.const 2  i32.shl  i32.add  local.tee $at
        i32.const ${LINE_AT + ROW}  i32.lt_u  br_if 0
      end
      local.get $turn  local.set $turns
      local.get $shift  i32.const 2  i32.shr_u  local.tee $shift  i32.const 16  i32.ge_u  br_if 0
    end
    i32.const ${LINE_AT}  local.set $at
    loop
      ${sides(0, '$x1', '$x2')}
      ${sides(ROW, '$y1', '$y2')}
      ${squares('$x1', '$y1', 0)}
      ${squares('$x2', '$y2', 16)}
      local.get $at  i32.const 32  i32.add  local.tee $at  i32.const ${LINE_AT + ROW}  i32.lt_u  br_if 0
    end`,
};

/** Adds the squares of the line, in order and times the scale, to the numbers from `into` on. */
const add: WasmFunction = {
  params: ['into'],
  i32: ['place'],
  v128: [],
  text: `
    loop
      local.get $into
      local.get $place  i32.load16_u offset=${PLACES_AT}  f64.load offset=${LINE_AT}
      i32.const ${SCALE_AT}  f64.load  f64.mul
      local.get $into  f64.load  f64.add  f64.store
      local.get $into  i32.const 8  i32.add  local.set $into
      local.get $place  i32.const 2  i32.add  local.tee $place  i32.const ${2 * TILE_PX}  i32.lt_u  br_if 0
    end`,
};

/** What transforms tiles. */
export const spectrumKernels = { sums, lay, columns, pairs, part, line, add };
