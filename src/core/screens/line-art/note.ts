import type { WasmFunction } from '../../wasm/assemble.ts';

/** Pixels that share a bit. */
export const NOTED_PX = 16;
/** Pixels of a whole word of such bits. */
export const NOTED_WORD_PX = 32 * NOTED_PX;

/**
 * Writes a bit for each 16 of the tones from address `at` to `end`, the leftmost in bit 31, whole words of them: to `dark` where one
 * of them is at least `darkFrom`, to `light` where one is at most `lightTo`.
 */
export const noteText: WasmFunction = {
  params: ['at', 'end', 'dark', 'light', 'darkFrom', 'lightTo'],
  i32: ['stop', 'darks', 'lights'],
  v128: ['a', 'b', 'darkLimit', 'lightLimit'],
  text: `
    local.get $darkFrom  i16x8.splat  local.set $darkLimit
    local.get $lightTo  i16x8.splat  local.set $lightLimit
    loop
      local.get $at  i32.const 1024  i32.add  local.set $stop
      loop
        local.get $darks  i32.const 1  i32.shl
        local.get $at  v128.load  local.tee $a
        local.get $at  v128.load offset=16  local.tee $b
        i16x8.max_u  local.get $darkLimit  i16x8.ge_u  v128.any_true
        i32.or  local.set $darks
        local.get $lights  i32.const 1  i32.shl
        local.get $a  local.get $b  i16x8.min_u  local.get $lightLimit  i16x8.le_u  v128.any_true
        i32.or  local.set $lights
        local.get $at  i32.const 32  i32.add  local.tee $at  local.get $stop  i32.lt_u  br_if 0
      end
      local.get $dark  local.get $darks  i32.store
      local.get $light  local.get $lights  i32.store
      local.get $dark  i32.const 4  i32.add  local.set $dark
      local.get $light  i32.const 4  i32.add  local.set $light
      local.get $at  local.get $end  i32.lt_u  br_if 0
    end`,
};

/** The same number in both halves of 32 bits. */
const BOTH = 0x10001;

/**
 * The same in a plain loop over pairs of tones, from index `from` to `end`, for an even `darkFrom` and an odd `lightTo`: so the upper
 * 15 bits of a tone tell. Differences from the limits, or-ed together, have their sign where one of them had; nothing carries out
 * of 15 bits. The two that are added are worked out here, so that they are known to be 32 bits.
 */
export function noteRow(
  pairs: Int32Array,
  from: number,
  end: number,
  dark: Int32Array,
  light: Int32Array,
  darkFrom: number,
  lightTo: number,
): void {
  const darkAdd = Math.imul(BOTH, 0x8000 - (darkFrom >> 1));
  const lightFrom = Math.imul(BOTH, 0x8000 + (lightTo >> 1));
  for (let i = from | 0, k = 0; i < end; k++) {
    let darkBits = 0;
    let lightBits = 0;
    for (let unit = 0; unit < 32; unit++) {
      let darks = 0;
      let lights = 0;
      for (const stop = i + 8; i < stop; i += 2) {
        const a = (pairs[i]! >>> 1) & 0x7fff7fff;
        const b = (pairs[i + 1]! >>> 1) & 0x7fff7fff;
        darks |= (a + darkAdd) | (b + darkAdd);
        lights |= (lightFrom - a) | (lightFrom - b);
      }
      darkBits = (darkBits << 1) | ((darks | (darks << 16)) >>> 31);
      lightBits = (lightBits << 1) | ((lights | (lights << 16)) >>> 31);
    }
    dark[k] = darkBits;
    light[k] = lightBits;
  }
}
