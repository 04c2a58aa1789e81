import type { WasmFunction } from '../wasm/assemble.ts';
import { LEAST_AT, LIST_END_AT, ROW, SUM_AT } from './memory.ts';

/** The sum of the numbers from address `at` to `end`. */
const sum: WasmFunction = {
  params: ['at', 'end'],
  i32: [],
  v128: ['sum'],
  text: `
    loop
      local.get $at  v128.load64_splat  local.get $sum  f64x2.add  local.set $sum
      local.get $at  i32.const 8  i32.add  local.tee $at  local.get $end  i32.lt_u  br_if 0
    end
    i32.const ${SUM_AT}  local.get $sum  v128.store`,
};

/** Numbers of a row that are added in one step. */
export const STEP_BINS = 4;

/** The eight numbers next to each of two, from a row and a number before them on. */
const NEIGHBOURS = [0, ROW, 2 * ROW].flatMap((row) => [0, 8, 16].map((side) => row + side));

/**
 * Lists pairs of numbers from address `at` to `end` of which one is at least as great as its neighbours, and `LEAST_AT` times that no less
 * than the sum of `rows` rows of `wide` bytes, whole steps, in front of it and as many behind it. The first begins `back` bytes before it, and `skip`
 * bytes of rows are its own.
 */
const likely: WasmFunction = {
  params: ['at', 'end', 'rows', 'wide', 'back', 'skip'],
  i32: ['near', 'begin', 'p', 'pEnd', 'count', 'list'],
  v128: ['here', 'peaks', 'limit', 'sum'],
  text: `
    i32.const ${LIST_END_AT}  i32.load  local.set $list
    loop
      local.get $at  i32.const ${ROW + 8}  i32.sub  local.set $near
      local.get $at  v128.load  local.tee $here
      ${NEIGHBOURS.map((offset) => `local.get $near  v128.load offset=${offset}`).join('\n')}
      ${'f64x2.pmax '.repeat(NEIGHBOURS.length - 1)}
      f64x2.ge  local.tee $peaks  v128.any_true
      if
        local.get $here  i32.const ${LEAST_AT}  v128.load64_splat  f64x2.mul  local.set $limit
        local.get $at  local.get $back  i32.sub  local.set $begin
        i32.const 0  local.set $count
        local.get $here  local.get $here  f64x2.sub  local.set $sum
        block
          loop
            local.get $begin  local.tee $p  local.get $wide  i32.add  local.set $pEnd
            loop
              ${Array.from({ length: STEP_BINS }, (_, i) => `local.get $p  v128.load offset=${8 * i}`).join('\n')}
              ${'f64x2.add '.repeat(STEP_BINS - 1)}
              local.get $sum  f64x2.add  local.set $sum
              local.get $p  i32.const ${8 * STEP_BINS}  i32.add  local.tee $p  local.get $pEnd  i32.lt_u  br_if 0
            end
            local.get $peaks  local.get $sum  local.get $limit  f64x2.gt  v128.andnot  v128.any_true  i32.eqz  br_if 1
            local.get $begin  i32.const ${ROW}  i32.add  local.set $begin
            local.get $count  i32.const 1  i32.add  local.tee $count  local.get $rows  i32.eq
            if
              local.get $begin  local.get $skip  i32.add  local.set $begin
            end
            local.get $count  local.get $rows  i32.const 1  i32.shl  i32.lt_u  br_if 0
          end
          local.get $list  local.get $at  i32.store
          local.get $list  i32.const 4  i32.add  local.set $list
        end
      end
      local.get $at  i32.const 16  i32.add  local.tee $at  local.get $end  i32.lt_u  br_if 0
    end
    i32.const ${LIST_END_AT}  local.get $list  i32.store`,
};

/** What goes through a spectrum. */
export const wavesKernels = { sum, likely };
