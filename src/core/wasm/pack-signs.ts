import type { WasmFunction } from './assemble.ts';

/** How numbers of 32 bits are packed. */
interface Signs {
  /** Where in memory address 0 of the numbers is. */
  readonly from: number;
  /** Which bit counts, told from the sign on. */
  readonly shiftBits: number;
}

/**
 * Packs one bit of each of the numbers from address `at` to `end`, whole steps of sixteen, at `to`: narrowing keeps the sign, and the
 * first of eight goes to the highest bit.
 */
export function packSigns({ from, shiftBits }: Signs): WasmFunction {
  const load = (four: number): string => `
      local.get $at  v128.load offset=${from + 16 * four}
      ${shiftBits === 0 ? '' : `i32.const ${shiftBits}  i32x4.shl`}`;
  return {
    params: ['at', 'end', 'to'],
    i32: [],
    v128: ['all'],
    text: `
    loop
      local.get $to
      ${load(0)} ${load(1)}  i16x8.narrow_i32x4_s
      ${load(2)} ${load(3)}  i16x8.narrow_i32x4_s
      i8x16.narrow_i16x8_s  local.tee $all
      local.get $all  i8x16.shuffle 7 6 5 4 3 2 1 0 15 14 13 12 11 10 9 8
      i8x16.bitmask  i32.store16
      local.get $to  i32.const 2  i32.add  local.set $to
      local.get $at  i32.const 64  i32.add  local.tee $at  local.get $end  i32.lt_u  br_if 0
    end`,
  };
}
