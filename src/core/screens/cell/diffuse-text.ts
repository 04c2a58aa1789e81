import type { WasmFunction } from '../../wasm/assemble.ts';
import { packSigns } from '../../wasm/pack-signs.ts';
import { FULL } from './diffuse.ts';

/** Where the rules stand (see `rulesFor`), then the error carried from row to row, and what the texture adds to the limits. */
export const RULES_AT = 0;
const CARRIED_AT = 256;
/** See `RULES_AT`. */
export const MOVED_AT = 512;

/**
 * The plain `diffuseRow` to the same bits: words of cells from address `at` to the one before `end`, `step` bytes apart, their tones
 * `toTones` bytes further on; `turn` picks a cell's place in the texture out of its address. The limit does not wait for the entry
 * that the cell before decides on: what that adds to it is known beforehand. (A table of such additions for all three was slower: more to do.)
 */
export const diffuseText: WasmFunction = {
  params: ['at', 'end', 'step', 'toTones', 'turn'],
  i32: [
    'start',
    'word',
    'before',
    'above',
    'ahead',
    'behindBelow',
    'below',
    'own',
    'tone',
    'rule',
    'etched',
    'error',
    'share',
  ],
  v128: [],
  text: `
    local.get $at  local.set $start
    i32.const 0  i32.load offset=${CARRIED_AT}  local.set $ahead
    i32.const 0
    local.get $at  i32.load  local.tee $word
    i32.const 2  i32.shr_s  i32.const 1  i32.and  local.tee $tone  i32.sub  local.set $etched
    local.get $tone  i32.const 96  i32.mul  local.set $above
    loop
      local.get $at  local.get $toTones  i32.add  i32.load  local.tee $tone
      local.get $word  i32.const 3  i32.shr_s  i32.add  local.set $own
      local.get $at  local.get $step  i32.add  i32.load  local.tee $word
      i32.const 4  i32.and  i32.const 3  i32.shl
      local.get $above  i32.const 1  i32.shl  i32.or
      i32.const 224  i32.and  local.tee $above
      local.get $etched  local.tee $before
      i32.const 16  i32.and  i32.or  local.set $rule
      local.get $tone  i32.const 1  i32.sub  i32.const ${FULL - 1}  i32.lt_u
      if
        local.get $above  i32.load
        local.get $at  local.get $turn  i32.and  i32.load offset=${MOVED_AT}
        i32.add  local.get $own  i32.sub
        local.get $above  i32.load offset=12  local.get $before  i32.and  i32.add
        local.get $ahead  i32.sub
        i32.const 31  i32.shr_s  local.tee $etched
        local.get $rule  i32.load offset=8  i32.and
        local.get $rule  i32.load offset=4  local.get $own  i32.add  local.get $ahead  i32.add
        i32.add  local.set $error
      else
        i32.const 0  local.get $tone  i32.sub  i32.const 31  i32.shr_s  local.tee $etched
        local.get $rule  i32.load offset=8  i32.and
        local.get $rule  i32.load offset=4  local.get $own  i32.add  local.get $ahead  i32.add
        i32.add  i32.const 1  i32.shr_s  local.set $error
        local.get $tone  i32.const ${FULL}  i32.gt_u
        if
          i32.const 0  local.set $error
        end
      end
      local.get $at  local.get $step  i32.sub
      local.get $error  i32.const 4  i32.shr_s  local.tee $share
      local.get $share  i32.const 1  i32.shl  i32.add
      local.get $behindBelow  i32.add  i32.const 3  i32.shl
      local.get $before  i32.const 4  i32.and  i32.or
      i32.store
      local.get $error
      local.get $share  local.get $share  i32.const 3  i32.shl  i32.add
      i32.sub  local.set $ahead
      local.get $share  local.get $share  i32.const 2  i32.shl  i32.add
      local.get $below  i32.add  local.set $behindBelow
      local.get $share  local.set $below
      local.get $at  local.get $step  i32.add  local.tee $at  local.get $end  i32.ne  br_if 0
    end
    local.get $end  local.get $step  i32.sub
    local.get $behindBelow  local.get $below  i32.add  i32.const 3  i32.shl
    local.get $etched  i32.const 4  i32.and  i32.or
    i32.store
    local.get $start
    local.get $start  i32.load
    local.get $start  local.get $step  i32.sub  i32.load  i32.const -8  i32.and
    i32.add  i32.store
    i32.const 0  local.get $ahead  i32.store offset=${CARRIED_AT}`,
};

/** Packs the cells that are drawn: their sign, when shifted so far, is DRAWN. */
export const packText = packSigns({ from: 0, shiftBits: 29 });
