import type { WasmFunction } from '../../wasm/assemble.ts';
import { FIRST_HALVES, LATTER_HALF } from '../../wasm/shuffles.ts';
import { FULL } from './diffuse.ts';

/** What rows of pixels are added up as before they are joined to cells: pairs of pixels, or single ones, so many to a cell. */
export interface Parts {
  readonly ofPairs: boolean;
  readonly count: number;
}

/** Pairs where they fit the cells. */
export const partsOf = (cellXPx: number): Parts =>
  cellXPx % 2 === 0 ? { ofPairs: true, count: cellXPx / 2 } : { ofPairs: false, count: cellXPx };

/** Adds the tones from address `at` to `end`, whole steps of eight, to the parts at `to`; with `anew` they begin with them. */
export function addText({ ofPairs }: Parts, anew: boolean): WasmFunction {
  const put = (sum: string, offset: number): string => `
      local.get $to
      ${sum}
      ${anew ? '' : `local.get $to  v128.load offset=${offset}  i32x4.add`}
      v128.store offset=${offset}`;
  const sums = ofPairs
    ? put('local.get $at  v128.load  i32x4.extadd_pairwise_i16x8_u', 0)
    : put('local.get $at  v128.load  local.tee $tones  i32x4.extend_low_i16x8_u', 0) +
      put('local.get $tones  i32x4.extend_high_i16x8_u', 16);
  return {
    params: ['at', 'end', 'to'],
    i32: [],
    v128: ['tones'],
    text: `
    loop
      ${sums}
      local.get $to  i32.const ${ofPairs ? 16 : 32}  i32.add  local.set $to
      local.get $at  i32.const 16  i32.add  local.tee $at  local.get $end  i32.lt_u  br_if 0
    end`,
  };
}

/** Joins `count` parts each from address `at` on to the sums of cells from `to` to `end`. */
export const joinText = (count: number): WasmFunction => ({
  params: ['at', 'to', 'end'],
  i32: [],
  v128: [],
  text: `
    loop
      local.get $to
      local.get $at  i32.load
      ${Array.from({ length: count - 1 }, (_, i) => `local.get $at  i32.load offset=${4 * i + 4}  i32.add`).join('\n')}
      i32.store
      local.get $at  i32.const ${4 * count}  i32.add  local.set $at
      local.get $to  i32.const 4  i32.add  local.tee $to  local.get $end  i32.lt_u  br_if 0
    end`,
});

/** Where the scale of `readText` stands twice, in 64 bits. */
export const SCALE_AT = 272;

/** Two sums to tones in floats, rounded, in the order of the plain loop. */
const nearTone = `
        f64x2.convert_low_i32x4_s  i32.const ${SCALE_AT}  v128.load  f64x2.mul
        local.get $first  f64x2.convert_low_i32x4_s  f64x2.add
        local.get $half  f64x2.add  i32x4.trunc_sat_f64x2_s_zero`;

/**
 * Turns the sums from address `at` on into tones from `to` to `end`, whole steps of four: `base` and `scale` times the sum, `most`
 * where that lies between it and `FULL`. Exact in whole numbers; else `scale` is that at `SCALE_AT`, and the nearest is taken.
 */
export const readText = (exact: boolean): WasmFunction => ({
  params: ['at', 'to', 'end', 'base', 'scale', 'most'],
  i32: [],
  v128: ['first', 'times', 'limit', 'full', 'half', 'sums', 'tone'],
  text: `
    local.get $base  i32x4.splat  local.set $first
    local.get $scale  i32x4.splat  local.set $times
    local.get $most  i32x4.splat  local.set $limit
    i32.const ${FULL}  i32x4.splat  local.set $full
    i32.const 1  i32x4.splat  f64x2.convert_low_i32x4_s
    i32.const 2  i32x4.splat  f64x2.convert_low_i32x4_s  f64x2.div  local.set $half
    loop
      local.get $at  v128.load  local.set $sums
      ${
        exact
          ? 'local.get $sums  local.get $times  i32x4.mul  local.get $first  i32x4.add'
          : `local.get $sums ${nearTone}
             local.get $sums  local.get $sums  ${LATTER_HALF} ${nearTone}
             ${FIRST_HALVES}`
      }
      local.set $tone
      local.get $to
      local.get $tone  local.get $limit  i32x4.min_s
      local.get $tone
      local.get $tone  local.get $full  i32x4.lt_s
      v128.bitselect
      v128.store
      local.get $at  i32.const 16  i32.add  local.set $at
      local.get $to  i32.const 16  i32.add  local.tee $to  local.get $end  i32.lt_u  br_if 0
    end`,
});
