import type { WasmFunction } from '../wasm/assemble.ts';
import { FIRST_HALVES, LATTER_HALF } from '../wasm/shuffles.ts';
import { TILE_PX } from './tiles.ts';

/** Bytes of a row of numbers. */
export const ROW = 8 * TILE_PX;
/**
 * A row of the square that is transformed: real parts, imaginary ones, and a gap, or the places of a column would share a few of the
 * cache's.
 */
export const PITCH = 2 * ROW + 64;

/** Where everything lies, in bytes. The sums of a tile: four of its tones, then two of their squares, of 64 bits. */
export const SUMS_AT = 0;
export const MEAN_AT = 32;
export const SCALE_AT = 40;
export const TIMES_AT = 48;
export const ACROSS_AT = 64;
export const DOWN_AT = ACROSS_AT + ROW;
export const DOWN_TURNS_AT = DOWN_AT + ROW;
/** Three turns of two numbers for each step of 128; of pairs of steps for 128, 32, 8 and 2. */
export const ACROSS_TURNS_AT = DOWN_TURNS_AT + 48 * (TILE_PX / 4);
export const PLACES_AT = ACROSS_TURNS_AT + 48 * (128 + 32 + 8 + 2);
export const SQUARE_AT = Math.ceil((PLACES_AT + 4 * TILE_PX) / 64) * 64;
export const POWER_AT = SQUARE_AT + PITCH * TILE_PX;
export const TONE_AT = POWER_AT + ROW * TILE_PX;
/** The latter vector of a row of tones may reach into what follows. */
export const BYTES = TONE_AT + 2 * TILE_PX * TILE_PX + 16;

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
    i32.const ${SUMS_AT}  local.get $sum  v128.store
    i32.const ${SUMS_AT + 16}  local.get $squares  v128.store`,
};

/** Two of eight tones, the former of what is on the stack, less the mean and times both weights. */
const weighted = (from: string, at: number): string => `
  local.get $into
  ${from}  f64x2.convert_low_i32x4_s
  local.get $mean  f64x2.sub
  local.get $across  v128.load offset=${ACROSS_AT + 8 * at}  f64x2.mul
  local.get $weight  f64x2.mul
  v128.store offset=${8 * at}`;

/** Tones from `at` to `end`, row by row, under the window to the square from `into` on. Beyond a row its weights are 0. */
const lay: WasmFunction = {
  params: ['at', 'end', 'rowBytes', 'into'],
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
      local.get $row  i32.const ${PITCH}  i32.add  local.set $into
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

/** Stores what is in `$x` and `$y`, turned. */
const turned = (to: string, turn: number): string => `
  local.get ${to}
  local.get $x  local.get $c${turn}  f64x2.mul  local.get $y  local.get $s${turn}  f64x2.mul  f64x2.sub
  v128.store
  local.get ${to}
  local.get $x  local.get $s${turn}  f64x2.mul  local.get $y  local.get $c${turn}  f64x2.mul  f64x2.add
  v128.store offset=${ROW}`;

/** Four numbers at `$p` and `$shift`, twice and three times as much behind it become their sums, the latter three turned. */
const four = `
  local.get $p  local.get $shift  i32.add  local.tee $q
  local.get $shift  i32.add  local.tee $r  local.get $shift  i32.add  local.set $t
  ${sumAndRest('$p', '$r', 0, '$x0', '$x1')}
  ${sumAndRest('$p', '$r', ROW, '$y0', '$y1')}
  ${sumAndRest('$q', '$t', 0, '$x2', '$x3')}
  ${sumAndRest('$q', '$t', ROW, '$y2', '$y3')}
  local.get $p  local.get $x0  local.get $x2  f64x2.add  v128.store
  local.get $p  local.get $y0  local.get $y2  f64x2.add  v128.store offset=${ROW}
  local.get $x1  local.get $y3  f64x2.add  local.set $x
  local.get $y1  local.get $x3  f64x2.sub  local.set $y
  ${turned('$q', 1)}
  local.get $x0  local.get $x2  f64x2.sub  local.set $x
  local.get $y0  local.get $y2  f64x2.sub  local.set $y
  ${turned('$r', 2)}
  local.get $x1  local.get $y3  f64x2.sub  local.set $x
  local.get $y1  local.get $x3  f64x2.add  local.set $y
  ${turned('$t', 3)}`;

const turns = (load: string, bytes: number): string =>
  ['c1', 's1', 'c2', 's2', 'c3', 's3']
    .map((name, i) => `local.get $turn  ${load} offset=${bytes * i}  local.set $${name}`)
    .join('\n');

/**
 * One step of the transform of columns, `wide` bytes of them from address `at` on: rows `shift` bytes apart go together, and from one to
 * the next the table of turns is `skip` bytes further on.
 */
const columns: WasmFunction = {
  params: ['at', 'wide', 'shift', 'skip'],
  i32: ['end', 'row', 'rowsEnd', 'turn', 'p', 'q', 'r', 't', 'pEnd'],
  v128: FOUR,
  text: `
    local.get $at  i32.const ${PITCH * TILE_PX}  i32.add  local.set $end
    loop
      local.get $at  local.tee $row  local.get $shift  i32.add  local.set $rowsEnd
      i32.const ${DOWN_TURNS_AT}  local.set $turn
      loop
        ${turns('v128.load64_splat', 8)}
        local.get $row  local.tee $p  local.get $wide  i32.add  local.set $pEnd
        loop
          ${four}
          local.get $p  i32.const 16  i32.add  local.tee $p  local.get $pEnd  i32.lt_u  br_if 0
        end
        local.get $turn  local.get $skip  i32.add  local.set $turn
        local.get $row  i32.const ${PITCH}  i32.add  local.tee $row  local.get $rowsEnd  i32.lt_u  br_if 0
      end
      local.get $at  local.get $shift  i32.const 2  i32.shl  i32.add  local.tee $at  local.get $end  i32.lt_u  br_if 0
    end`,
};

const two = (offset: number): string => `
  ${sumAndRest('$p', '$q', offset, '$sum', '$rest')}
  local.get $p  local.get $sum  v128.store offset=${offset}
  local.get $q  local.get $rest  v128.store offset=${offset}`;

/** The last step of columns: pairs of rows. */
const pairs: WasmFunction = {
  params: ['at', 'wide'],
  i32: ['end', 'p', 'pEnd', 'q'],
  v128: ['x', 'y', 'sum', 'rest'],
  text: `
    local.get $at  i32.const ${PITCH * TILE_PX}  i32.add  local.set $end
    loop
      local.get $at  local.tee $p  local.get $wide  i32.add  local.set $pEnd
      loop
        local.get $p  i32.const ${PITCH}  i32.add  local.set $q
        ${two(0)}
        ${two(ROW)}
        local.get $p  i32.const 16  i32.add  local.tee $p  local.get $pEnd  i32.lt_u  br_if 0
      end
      local.get $at  i32.const ${2 * PITCH}  i32.add  local.tee $at  local.get $end  i32.lt_u  br_if 0
    end`,
};

/** Sums and rests of pairs that lie side by side, four numbers: of real or of imaginary parts. */
const sides = (offset: number, sum: string, rest: string): string => `
  local.get $at  v128.load offset=${offset}  local.tee $x
  local.get $at  v128.load offset=${offset + 16}  local.tee $y  ${FIRST_HALVES}  local.tee $x0
  local.get $x  local.get $y  i8x16.shuffle 8 9 10 11 12 13 14 15 24 25 26 27 28 29 30 31  local.tee $y0
  f64x2.add  local.set ${sum}
  local.get $x0  local.get $y0  f64x2.sub  local.set ${rest}`;

const addSquares = (x: string, y: string, offset: number): string => `
  local.get $into
  local.get ${x}  local.get ${x}  f64x2.mul  local.get ${y}  local.get ${y}  f64x2.mul  f64x2.add
  local.get $x3  f64x2.mul
  local.get $into  v128.load offset=${offset}  f64x2.add  v128.store offset=${offset}`;

/**
 * The transform of the row from address `at` on, two numbers side by side at once; the squares of what comes out, so many times, are added to
 * those from `into` on.
 */
const row: WasmFunction = {
  params: ['at', 'into'],
  i32: ['end', 'block', 'shift', 'turn', 'turns', 'p', 'q', 'r', 't', 'pEnd'],
  v128: FOUR,
  text: `
    local.get $at  i32.const ${ROW}  i32.add  local.set $end
    i32.const ${ROW / 4}  local.set $shift
    i32.const ${ACROSS_TURNS_AT}  local.set $turns
    loop
      local.get $at  local.set $block
      loop
        local.get $block  local.tee $p  local.get $shift  i32.add  local.set $pEnd
        local.get $turns  local.set $turn
        loop
          ${turns('v128.load', 16)}
          ${four}
          local.get $turn  i32.const 96  i32.add  local.set $turn
          local.get $p  i32.const 16  i32.add  local.tee $p  local.get $pEnd  i32.lt_u  br_if 0
        end
        local.get $block  local.get $shift  i32.const 2  i32.shl  i32.add  local.tee $block  local.get $end  i32.lt_u  br_if 0
      end
      local.get $turn  local.set $turns
      local.get $shift  i32.const 2  i32.shr_u  local.tee $shift  i32.const 16  i32.ge_u  br_if 0
    end
    i32.const ${TIMES_AT}  v128.load64_splat  local.set $x3
    loop
      ${sides(0, '$x1', '$x2')}
      ${sides(ROW, '$y1', '$y2')}
      ${addSquares('$x1', '$y1', 0)}
      ${addSquares('$x2', '$y2', 16)}
      local.get $into  i32.const 32  i32.add  local.set $into
      local.get $at  i32.const 32  i32.add  local.tee $at  local.get $end  i32.lt_u  br_if 0
    end`,
};

/**
 * Puts a row in order: each number is one of the row at `one` and its like of the row at `other`, at places of the table, times the scale.
 */
const gather: WasmFunction = {
  params: ['one', 'other', 'into'],
  i32: ['place'],
  v128: [],
  text: `
    loop
      local.get $into
      local.get $one  local.get $place  i32.load16_u offset=${PLACES_AT}  i32.add  f64.load
      local.get $other  local.get $place  i32.load16_u offset=${PLACES_AT + 2}  i32.add  f64.load
      f64.add
      i32.const ${SCALE_AT}  f64.load  f64.mul
      f64.store
      local.get $into  i32.const 8  i32.add  local.set $into
      local.get $place  i32.const 4  i32.add  local.tee $place  i32.const ${4 * TILE_PX}  i32.lt_u  br_if 0
    end`,
};

export const kernels = { sums, lay, columns, pairs, row, gather };
