import type { WasmFunction } from '../../wasm/assemble.ts';
import { packSigns } from '../../wasm/pack-signs.ts';
import { NEVER, SOLID, UNIT_BITS } from './units.ts';

/** Pixels worked out at once, a multiple of 16: what is known of them beforehand stays in the processor's nearest memory. */
export const BLOCK_PX = 512;

/** Where the error stands that one block hands on to the next, in bytes; then the numbers of a block, of 32 bits each. */
export const CARRIED_AT = 0;
const OWN_AT = 64;
const SPARE_AT = OWN_AT + 4 * BLOCK_PX;
/** Where that ends. */
export const BLOCK_END = SPARE_AT + 4 * BLOCK_PX;

/** Four of eight pixels: what a pixel is without the one before it, and what is left up to its limit (see `SOLID`). */
const ownOf = (half: 'low' | 'high', at: number): string => `
  local.get $to
  local.get $tone  i32x4.extend_${half}_i16x8_u  local.tee $wide  i32.const ${UNIT_BITS}  i32x4.shl
  local.get $below  v128.load offset=${at}  local.tee $own  local.get $own  i32.const 2  i32x4.shl  i32x4.add  i32x4.add
  local.get $behind  v128.load offset=${at}  local.tee $own  local.get $own  i32.const 1  i32x4.shl  i32x4.add  i32x4.add
  local.get $ahead  v128.load offset=${at}  i32x4.add
  local.tee $own  v128.store offset=${OWN_AT + at}
  local.get $to
  local.get $limit
  local.get $wide  local.get $one  i32x4.lt_s  local.get $never  v128.and  i32x4.add
  local.get $most  local.get $wide  i32x4.lt_s  local.get $never  v128.and  i32x4.sub
  local.get $own  i32x4.sub
  v128.store offset=${SPARE_AT + at}`;

/**
 * Prepares a block: eight pixels a step, their tones from address `at` to `end`. Each takes 5, 3 and 1 shares of the row above, from
 * the pixel straight above it, from the one that it is behind of, and from the one that it is ahead of: these stand from
 * addresses `below`, `behind` and `ahead` on.
 */
export const prepareText: WasmFunction = {
  params: ['at', 'end', 'below', 'behind', 'ahead', 'threshold'],
  i32: ['to'],
  v128: ['tone', 'wide', 'own', 'limit', 'one', 'most', 'never'],
  text: `
    local.get $threshold  i32x4.splat  local.set $limit
    i32.const 1  i32x4.splat  local.set $one
    i32.const 65534  i32x4.splat  local.set $most
    i32.const ${NEVER}  i32x4.splat  local.set $never
    loop
      local.get $at  v128.load  local.set $tone
      ${ownOf('low', 0)}
      ${ownOf('high', 16)}
      local.get $below  i32.const 32  i32.add  local.set $below
      local.get $behind  i32.const 32  i32.add  local.set $behind
      local.get $ahead  i32.const 32  i32.add  local.set $ahead
      local.get $to  i32.const 32  i32.add  local.set $to
      local.get $at  i32.const 16  i32.add  local.tee $at  local.get $end  i32.lt_u  br_if 0
    end`,
};

/** What the ink of a pixel takes off its share, and off what it hands to the pixel ahead: it is a whole number of shares. */
const INK_SHARE = SOLID >> 4;
const INK_AHEAD = SOLID - 9 * INK_SHARE;

/**
 * A pixel waits for the one before it, so little is left to wait for: the error that one hands on comes in two parts, `given` and
 * what its ink `took` of that, and each is added to what is known before the other. What is left of `spare` has ink's sign.
 */
const pixel = (at: number): string => `
  local.get $at  i32.load offset=${OWN_AT + at}  local.get $took  i32.sub  local.get $given  i32.add  local.tee $sum
  i32.const 4  i32.shr_s  local.set $share
  local.get $at
  local.get $at  i32.load offset=${SPARE_AT + at}  local.get $took  i32.add  local.get $given  i32.sub
  local.tee $ink  i32.store offset=${SPARE_AT + at}
  local.get $at  local.get $toShares  i32.add
  local.get $share
  local.get $ink  i32.const 31  i32.shr_s  local.tee $ink  i32.const ${INK_SHARE}  i32.and  i32.sub
  i32.store offset=${at}
  local.get $ink  i32.const ${INK_AHEAD}  i32.and  local.set $took
  local.get $sum  local.get $share  i32.const 3  i32.shl  local.get $share  i32.add  i32.sub  local.set $given`;

/** Pixels that are gone through in one turn of a loop: a tenth faster than one by one. */
export const GROUP_PX = 4;

/** Pixels of a block from `at` until address `until`, `count` in each turn. Going back, `at` is the end of those still to come. */
function pixels(back: boolean, count: number, until: string): string {
  const offsets = Array.from({ length: count }, (_, i) => 4 * (back ? count - 1 - i : i));
  const all = offsets.map(pixel).join('');
  const move = `local.get $at  i32.const ${(back ? -4 : 4) * count}  i32.add  local.set $at`;
  return `
    local.get $at  local.get $${until}  i32.ne
    if
      loop
        ${back ? `${move} ${all}` : `${all} ${move}`}
        local.get $at  local.get $${until}  i32.ne  br_if 0
      end
    end`;
}

/**
 * The pixels of a prepared block in turn, from `at` to `end` in bytes from the block's beginning: 0 and all, or all and 0 where the
 * row goes back. Those before `whole`, a multiple of `GROUP_PX`, go in groups. Shares are written `toShares` bytes further on.
 */
export const diffuseText = (back: boolean): WasmFunction => ({
  params: ['at', 'whole', 'end', 'toShares'],
  i32: ['given', 'took', 'sum', 'share', 'ink'],
  v128: [],
  text: `
    i32.const 0  i32.load offset=${CARRIED_AT}  local.set $given
    ${back ? pixels(back, 1, 'whole') + pixels(back, GROUP_PX, 'end') : pixels(back, GROUP_PX, 'whole') + pixels(back, 1, 'end')}
    i32.const 0  local.get $given  local.get $took  i32.sub  i32.store offset=${CARRIED_AT}`,
});

/** Packs the ink of a diffused block as bits; both addresses are told from its beginning. */
export const packText = packSigns({ from: SPARE_AT, shiftBits: 0 });
