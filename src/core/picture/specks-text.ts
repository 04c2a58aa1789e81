import type { WasmFunction } from '../wasm/assemble.ts';
import { INSIDE_AT, SPECKS_AT } from './memory.ts';

/** Which of eight pixels are like the one that lies so many columns and rows off: addresses are two columns before theirs. */
const like = (columns: number, rows: number): string =>
  `local.get $${['up2', 'up', 'at', 'down', 'down2'][rows + 2]}  v128.load offset=${4 + 2 * columns}  local.get $here  i16x8.eq`;

/** Adds runs of three along a direction to `$runs`; what lies next to a pixel is left in `$before` and `$after`. */
const direction = (columns: number, rows: number): string => `
  ${like(-columns, -rows)}  local.tee $before
  ${like(-2 * columns, -2 * rows)}  v128.and
  ${like(columns, rows)}  local.tee $after
  ${like(2 * columns, 2 * rows)}  v128.and  v128.or
  local.get $before  local.get $after  v128.and  v128.or`;

const moveOn = (name: string): string => `local.get $${name}  i32.const 16  i32.add  local.set $${name}`;

/**
 * Counts the specks of rows from address `at` to `end`, `pitch` bytes apart, eight pixels at a time: those that `INSIDE_AT` lets through.
 * Addresses are two pixels in front of the first.
 */
const specks: WasmFunction = {
  params: ['at', 'end', 'pitch'],
  i32: ['next', 'up2', 'up', 'down', 'down2', 'x'],
  v128: ['here', 'before', 'after', 'runs', 'beside', 'slanting', 'inside', 'specks'],
  text: `
    loop
      local.get $at  local.get $pitch  i32.add  local.tee $next  local.tee $down
      local.get $pitch  i32.add  local.set $down2
      local.get $at  local.get $pitch  i32.sub  local.tee $up
      local.get $pitch  i32.sub  local.set $up2
      i32.const 0  local.set $x
      loop
        local.get $at  v128.load offset=4  local.set $here
        ${direction(1, 0)}
        local.get $before  local.get $after  v128.or  local.set $beside
        ${direction(0, 1)}  v128.or
        local.get $before  local.get $after  v128.or  local.get $beside  v128.or  local.set $beside
        ${direction(1, 1)}  v128.or
        local.get $before  local.get $after  v128.and  local.set $slanting
        ${direction(-1, 1)}  v128.or  local.set $runs
        local.get $specks
        local.get $slanting  local.get $before  v128.and  local.get $after  v128.and
        local.get $beside  v128.andnot
        local.get $x  v128.load offset=${INSIDE_AT}  local.tee $inside  v128.and
        local.get $inside  local.get $runs  v128.andnot  v128.or
        i16x8.sub  local.set $specks
        ${['up2', 'up', 'at', 'down', 'down2', 'x'].map(moveOn).join('\n')}
        local.get $x  local.get $pitch  i32.lt_u  br_if 0
      end
      local.get $next  local.tee $at  local.get $end  i32.lt_u  br_if 0
    end
    i32.const ${SPECKS_AT}  local.get $specks  i32x4.extadd_pairwise_i16x8_u  v128.store`,
};

/** Counts the pixels of this tone from address `at` to `end`, eight at a time. */
const alike: WasmFunction = {
  params: ['at', 'end', 'tone'],
  i32: [],
  v128: ['alike', 'level'],
  text: `
    local.get $tone  i16x8.splat  local.set $level
    loop
      local.get $alike  local.get $at  v128.load  local.get $level  i16x8.eq  i16x8.sub  local.set $alike
      local.get $at  i32.const 16  i32.add  local.tee $at  local.get $end  i32.lt_u  br_if 0
    end
    i32.const ${SPECKS_AT}  local.get $alike  i32x4.extadd_pairwise_i16x8_u  v128.store`,
};

/** What counts specks. */
export const specksKernels = { specks, alike };
