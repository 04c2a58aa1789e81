import type { WasmFunction } from '../../../core/wasm/assemble.ts';
import * as room from './room.ts';

/** One more of what is counted at a place in the counts, whose offset lies on the stack and in `$slot`. */
const count = (within: number): string => `
  local.get $slot  local.get $slot  i32.load offset=${room.COUNTS_AT + within}
  i32.const 1  i32.add  i32.store offset=${room.COUNTS_AT + within}`;

/** The place of a colour of 24 bits, shifted up by eight. */
const place = `
  i32.const ${room.FACTOR}  i32.mul  i32.const ${room.PLACE_SHIFT}  i32.shr_u  i32.const ${room.PLACE_MASK}  i32.and`;

/** The symbol of the distance in `$back`, which is one less and at least 2: twice its highest bit, and the bit below that. */
const distanceSlot = `
  i32.const 31  local.get $back  i32.clz  i32.sub  local.tee $high  i32.const 1  i32.shl
  local.get $back  local.get $high  i32.const 1  i32.sub  i32.shr_u  i32.const 1  i32.and
  i32.add  i32.const 2  i32.shl  local.set $slot`;

const literalSlot = (shift: number): string => `
  local.get $colour  i32.const ${shift}  i32.shr_u  i32.const 255  i32.and  i32.const 2  i32.shl  local.set $slot`;

/** Goes on from `$next` as long as pixels are like those `$back` before them. */
const goOn = `
  block
    loop
      local.get $next  local.get $most  i32.ge_u  br_if 1
      local.get $next  i32.load  local.get $next  local.get $back  i32.sub  i32.load
      i32.xor  i32.const 8  i32.shl  br_if 1
      local.get $next  i32.const ${room.PIXEL}  i32.add  local.set $next
      br 0
    end
  end`;

/** Whether the pixel at an address is near enough behind `$at`, and like it. */
const isLike = (from: string): string => `
  local.get $at  local.get ${from}  i32.sub  i32.const ${room.MOST_BACK}  i32.le_u
  local.get ${from}  i32.load  i32.const 8  i32.shl  local.get $colour  i32.eq
  i32.and`;

const alone = `local.get $next  local.get $at  i32.const ${room.PIXEL}  i32.add  i32.eq`;

/**
 * Looks in the pixels from `at` to `stop`, one at least, for those that came before: each as the last one of its colour, with as many behind
 * it as are alike; where none is, as the last one that had the same behind it. Writes tokens and counts them.
 */
const find: WasmFunction = {
  params: ['at', 'stop'],
  i32: ['token', 'colour', 'slot', 'from', 'pair', 'next', 'back', 'most', 'high'],
  v128: [],
  text: `
    i32.const ${room.STATE_AT}  i32.load  local.set $token
    loop
      local.get $at  i32.load  i32.const 8  i32.shl  local.tee $colour  ${place}  local.tee $slot
      i32.load  local.set $from
      local.get $slot  local.get $at  i32.store
      local.get $colour  i32.const ${room.FACTOR}  i32.mul
      local.get $at  i32.load offset=${room.PIXEL}  i32.const 8  i32.shl  i32.const ${room.PAIR_FACTOR}  i32.mul
      i32.add  i32.const ${room.PAIR_SHIFT}  i32.shr_u  i32.const ${room.PAIR_MASK}  i32.and  local.tee $slot
      i32.load offset=${room.PAIRS_AT}  local.set $pair
      local.get $slot  local.get $at  i32.store offset=${room.PAIRS_AT}
      local.get $at  i32.const ${room.PIXEL}  i32.add  local.set $next
      ${isLike('$from')}
      if
        local.get $at  i32.const ${room.MOST_MATCH}  i32.add  local.tee $most
        local.get $stop  local.get $most  local.get $stop  i32.lt_u  select  local.set $most
        local.get $at  local.get $from  i32.sub  local.set $back
        ${goOn}
        ${alone}  ${isLike('$pair')}  i32.and
        if
          local.get $at  local.get $pair  i32.sub  local.set $back
          ${goOn}
          local.get $at  local.get $from  i32.sub  local.get $back  ${alone}  select  local.set $back
        end
        local.get $next  i32.const ${room.PIXEL}  i32.sub  local.tee $from
        i32.load  i32.const 8  i32.shl  ${place}  local.get $from  i32.store
        local.get $back  i32.const 1  i32.sub  local.set $back
        local.get $token  local.get $next  local.get $at  i32.sub  local.tee $slot  i32.const 16  i32.shl
        local.get $back  i32.or  i32.store
        local.get $slot  i32.const 2  i32.shl  local.set $slot  ${count(room.LENGTHS_IN)}
        ${distanceSlot}  ${count(room.DISTANCES_IN)}
      else
        local.get $token  local.get $colour  i32.const 8  i32.shr_u  i32.const ${1 << 31}  i32.or  i32.store
        ${literalSlot(8)}  ${count(0)}
        ${literalSlot(16)}  ${count(0)}
        ${literalSlot(24)}  ${count(0)}
      end
      local.get $token  i32.const 4  i32.add  local.set $token
      local.get $next  local.tee $at  local.get $stop  i32.lt_u  br_if 0
    end
    i32.const ${room.STATE_AT}  local.get $token  i32.store`,
};

/** Puts the bits of the code whose place among the codes is on the stack behind those that wait. */
const put = (within: number): string => `
  i32.load offset=${room.CODES_AT + within}  local.tee $code
  i32.const ${0xffffff}  i32.and  local.get $bits  i32.shl  local.get $waiting  i32.or  local.set $waiting
  local.get $code  i32.const 24  i32.shr_u  local.get $bits  i32.add  local.set $bits`;

/** Writes the bytes that are whole; fewer than eight bits wait on. */
const flush = `
  local.get $out  local.get $waiting  i32.store
  local.get $bits  i32.const 3  i32.shr_u  local.tee $whole  local.get $out  i32.add  local.set $out
  local.get $waiting  local.get $whole  i32.const 3  i32.shl  i32.shr_u  local.set $waiting
  local.get $bits  i32.const 7  i32.and  local.set $bits`;

const putLiteral = (shift: number): string =>
  `local.get $token  i32.const ${shift}  i32.shr_u  i32.const 255  i32.and  i32.const 2  i32.shl  ${put(0)}  ${flush}`;

/** Writes the bits of the tokens from `at` to `end`, one at least. */
const send: WasmFunction = {
  params: ['at', 'end'],
  i32: ['token', 'code', 'waiting', 'bits', 'out', 'whole', 'back', 'high', 'slot'],
  v128: [],
  text: `
    i32.const ${room.STATE_AT}  i32.load offset=4  local.set $waiting
    i32.const ${room.STATE_AT}  i32.load offset=8  local.set $bits
    i32.const ${room.STATE_AT}  i32.load offset=12  local.set $out
    loop
      local.get $at  i32.load  local.tee $token
      i32.const 0  i32.lt_s
      if
        ${putLiteral(0)}  ${putLiteral(8)}  ${putLiteral(16)}
      else
        local.get $token  i32.const 16  i32.shr_u  i32.const 2  i32.shl  ${put(room.LENGTHS_IN)}  ${flush}
        local.get $token
        if
          local.get $token  i32.const ${room.MOST_BACK - 1}  i32.and  local.set $back
          ${distanceSlot}
          local.get $slot  ${put(room.DISTANCES_IN)}
          i32.const 1  local.get $high  i32.const 1  i32.sub  local.tee $high  i32.shl  i32.const 1  i32.sub
          local.get $back  i32.and  local.get $bits  i32.shl  local.get $waiting  i32.or  local.set $waiting
          local.get $bits  local.get $high  i32.add  local.set $bits
          ${flush}
        end
      end
      local.get $at  i32.const 4  i32.add  local.tee $at  local.get $end  i32.lt_u  br_if 0
    end
    i32.const ${room.STATE_AT}  local.get $waiting  i32.store offset=4
    i32.const ${room.STATE_AT}  local.get $bits  i32.store offset=8
    i32.const ${room.STATE_AT}  local.get $out  i32.store offset=12`,
};

export const kernels = { find, send };
