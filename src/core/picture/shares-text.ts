import type { WasmFunction } from '../wasm/assemble.ts';
import { FLAT, NEAR_PAPER, NEAR_SOLID, RAMP, STEEP } from './judging.ts';
import {
  COUNT_TABLES,
  COUNTS_AT,
  FLAT_TABLE,
  FLAT_TABLES,
  FLATS_AT,
  JUDGED_AT,
  ODD_HIGH_AT,
  ODD_LOW_AT,
  PAIR_HIGH_AT,
  PAIR_LOW_AT,
  TABLE,
  THERE_AT,
} from './memory.ts';

/** Adds a pixel to the count of its tone; by turns in several tables, as neighbours are alike and one count would wait for the other. */
const count = (pixel: number): string => {
  const table = COUNTS_AT + (pixel % COUNT_TABLES) * TABLE;
  return `
    local.get $at  i32.load8_u offset=${2 * pixel + 1}  i32.const 2  i32.shl  local.tee $tone
    local.get $tone  i32.load offset=${table}  i32.const 1  i32.add  i32.store offset=${table}`;
};

/** Counts the pixels from address `at` to `end`, eight at a time. */
const histogram: WasmFunction = {
  params: ['at', 'end'],
  i32: ['tone'],
  v128: [],
  text: `
    loop
      ${Array.from({ length: 8 }, (_, pixel) => count(pixel)).join('')}
      local.get $at  i32.const 16  i32.add  local.tee $at  local.get $end  i32.lt_u  br_if 0
    end`,
};

const EVENS = 'i8x16.shuffle 0 1 4 5 8 9 12 13 16 17 20 21 24 25 28 29';
const ODDS = 'i8x16.shuffle 2 3 6 7 10 11 14 15 18 19 22 23 26 27 30 31';

/** Takes another row of sixteen pixels in. */
const takeIn = `
  local.get $p  local.get $pitch  i32.add  local.tee $p  v128.load  local.tee $tone
  local.get $low  i16x8.min_s  local.set $low
  local.get $tone  local.get $high  i16x8.max_s  local.set $high
  local.get $p  v128.load offset=16  local.tee $tone
  local.get $lowNext  i16x8.min_s  local.set $lowNext
  local.get $tone  local.get $highNext  i16x8.max_s  local.set $highNext`;

/** Puts down columns of sixteen pixels. */
const putDown = (name: string, best: string, odd: number, pair: number): string => `
  local.get $to  local.get $${name}  local.get $${name}Next  ${ODDS}  local.tee $tone  v128.store offset=${odd}
  local.get $to  local.get $${name}  local.get $${name}Next  ${EVENS}  local.get $tone  ${best}  v128.store offset=${pair}`;

/** Seven columns are an odd one and three pairs. */
const square = (best: string, odd: number, pair: number): string => `
  local.get $to  v128.load offset=${odd - 4}
  local.get $to  v128.load offset=${pair - 2}  ${best}
  local.get $to  v128.load offset=${pair}  ${best}
  local.get $to  v128.load offset=${pair + 2}  ${best}`;

/** How far the tone on the stack is from the usual one, by first bytes. */
const away = (usual: string): string => `local.get ${usual}  i16x8.sub  i16x8.abs`;
const splat = (value: number): string => `i32.const ${value}  i16x8.splat`;

/** Adds a flat pixel to the count of its tone. */
const countFlat = (lane: number): string => {
  const table = FLATS_AT + (lane % FLAT_TABLES) * FLAT_TABLE;
  return `
    local.get $tone  i16x8.extract_lane_u ${lane}  i32.const 2  i32.shl  local.tee $p
    local.get $p  i32.load offset=${table}  i32.const 1  i32.add  i32.store offset=${table}`;
};

const addUp = (name: string, i: number): string => `
  i32.const ${JUDGED_AT + 16 * i}
  local.get $${name}  i32x4.extadd_pairwise_i16x8_u  i32.const ${JUDGED_AT + 16 * i}  v128.load  i32x4.add  v128.store`;

/**
 * Judges every second pixel of every second row from address `at` to `end`, rows `pitch` bytes apart, whole steps of sixteen pixels.
 * `paper` and `solid` are first bytes of tones.
 */
const judge: WasmFunction = {
  params: ['at', 'end', 'pitch', 'paper', 'solid'],
  i32: ['begin', 'rowEnd', 'p', 'to'],
  v128: [
    ...[
      'tone',
      'low',
      'high',
      'lowNext',
      'highNext',
      'usualPaper',
      'usualSolid',
      'bin',
      'mid',
      'range',
      'hit',
    ],
    ...['mids', 'flats', 'ramps'],
  ],
  text: `
    local.get $paper  i16x8.splat  local.set $usualPaper
    local.get $solid  i16x8.splat  local.set $usualSolid
    loop
      local.get $at  local.get $pitch  i32.add  local.set $rowEnd
      i32.const 0  local.set $to
      local.get $at  local.get $pitch  i32.const 3  i32.mul  i32.sub  local.set $begin
      loop
        local.get $begin  local.tee $p  v128.load  local.tee $low  local.set $high
        local.get $p  v128.load offset=16  local.tee $lowNext  local.set $highNext
        ${takeIn.repeat(6)}
        ${putDown('low', 'i16x8.min_s', ODD_LOW_AT, PAIR_LOW_AT)}
        ${putDown('high', 'i16x8.max_s', ODD_HIGH_AT, PAIR_HIGH_AT)}
        local.get $to  i32.const 16  i32.add  local.set $to
        local.get $begin  i32.const 32  i32.add  local.set $begin
        local.get $to  i32.const 1  i32.shl  local.get $pitch  i32.lt_u  br_if 0
      end
      i32.const 0  local.set $to
      local.get $at  local.set $begin
      loop
        block
          local.get $begin  v128.load  local.get $begin  v128.load offset=16  ${EVENS}
          i32.const 8  i16x8.shr_s  local.tee $bin
          ${away('$usualPaper')}  ${splat(NEAR_PAPER)}  i16x8.gt_u
          local.get $bin  ${away('$usualSolid')}  ${splat(NEAR_SOLID)}  i16x8.gt_u  v128.and
          local.get $to  v128.load offset=${THERE_AT}  v128.and  local.tee $mid
          v128.any_true  i32.eqz  br_if 0
          ${square('i16x8.max_s', ODD_HIGH_AT, PAIR_HIGH_AT)}  local.tee $high
          ${square('i16x8.min_s', ODD_LOW_AT, PAIR_LOW_AT)}  local.tee $low
          i16x8.sub  local.tee $range  ${splat(RAMP)}  i16x8.ge_u
          ${splat(NEAR_PAPER)}  local.get $low  i32.const 8  i16x8.shr_s  ${away('$usualPaper')}  i16x8.ge_u
          ${splat(NEAR_SOLID)}  local.get $high  i32.const 8  i16x8.shr_s  ${away('$usualSolid')}  i16x8.ge_u
          v128.or  v128.and
          local.get $range  ${splat(STEEP)}  i16x8.ge_u  v128.or
          local.get $mid  v128.and  local.set $hit
          local.get $ramps  local.get $hit  i16x8.sub  local.set $ramps
          local.get $mid  local.get $hit  v128.andnot  local.set $mid
          local.get $mids  local.get $mid  i16x8.sub  local.set $mids
          local.get $range  ${splat(FLAT)}  i16x8.le_u  local.get $mid  v128.and  local.tee $hit
          v128.any_true  i32.eqz  br_if 0
          local.get $flats  local.get $hit  i16x8.sub  local.set $flats
          local.get $bin  ${splat(255)}  v128.and  ${splat(256)}  local.get $hit  v128.bitselect  local.set $tone
          ${Array.from({ length: 8 }, (_, lane) => countFlat(lane)).join('')}
        end
        local.get $to  i32.const 16  i32.add  local.set $to
        local.get $begin  i32.const 32  i32.add  local.tee $begin  local.get $rowEnd  i32.lt_u  br_if 0
      end
      local.get $rowEnd  local.get $pitch  i32.add  local.tee $at  local.get $end  i32.lt_u  br_if 0
    end
    ${addUp('mids', 0)}
    ${addUp('flats', 1)}
    ${addUp('ramps', 2)}`,
};

/** What counts and judges tones. */
export const sharesKernels = { histogram, judge };
