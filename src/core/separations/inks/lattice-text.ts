import type { WasmFunction } from '../../wasm/assemble.ts';

/** Of the memory, in bytes: 255ths and places by code, red, green, blue; then pixels, tones ink by ink, and the lattice. */
export const PLACE_BYTES = 8;
/** Codes of a channel. */
export const CODES = 256;
const CHANNEL = PLACE_BYTES * CODES;
const PIXELS_AT = 3 * CHANNEL;

/** Where what lies in the memory for so many inks, in bytes; `pixels` is how many are mixed in one go. */
export function memoryFor(inks: number, pixels: number) {
  const tonesAt = PIXELS_AT + 3 * pixels;
  return { pixelsAt: PIXELS_AT, tonesAt, tableAt: tonesAt + 2 * pixels * inks };
}

/** The corner of a cell at `$at`, by its share, added to the sums of all inks. */
const corner = (halves: readonly string[]): string => `
      v128.load  local.set $node
      ${halves
        .map(
          (half) =>
            `local.get $${half}  local.get $node  local.get $share  i32x4.extmul_${half}_i16x8_u  i32x4.add  local.set $${half}`,
        )
        .join('\n      ')}`;

/** Sums over 255, rounded down. They are one too large: for q · 255 + t + 1, a q of one less does to find the right one. */
const divided = (half: string): string => `
      local.get $${half}
      local.get $${half}  local.get $${half}  i32.const 8  i32x4.shr_u  i32x4.add  i32.const 8  i32x4.shr_u
      i32x4.add  i32.const 8  i32x4.shr_u  local.set $${half}`;

/**
 * Pixels of three bytes, from `rgb` to `end`, to tones at `out` and so on, ink by ink `tonesBytes` apart. `red`, `green` and `blue`
 * are the bytes from one node to the next; all corners are taken as vectors, so that every node has up to eight inks behind it.
 */
export function mixText(inks: number, pixels: number, [red, green, blue]: readonly number[]): WasmFunction {
  const halves = inks > 4 ? ['low', 'high'] : ['low'];
  const place = (channel: number, part: string): string => `
      local.get $rgb  i32.load8_u offset=${channel}  i32.const 3  i32.shl  local.tee $at
      i32.load offset=${channel * CHANNEL}  local.get $first  i32.add  local.set $first
      local.get $at  i32.load offset=${channel * CHANNEL + 4}  local.set $${part}`;
  const store = (ink: number): string => `
      local.get $out  local.get $${ink < 4 ? 'low' : 'high'}  i32x4.extract_lane ${ink % 4}  i32.store16 offset=${2 * pixels * ink}`;
  return {
    params: ['rgb', 'end', 'out'],
    i32: ['at', 'first', 'last', 'r', 'g', 'b', 'wide', 'middle', 'narrow', 'up', 'back'],
    v128: ['node', 'share', 'low', 'high'],
    text: `
    loop
      i32.const 0  local.set $first
      ${place(0, 'r')}${place(1, 'g')}${place(2, 'b')}
      local.get $first  i32.const ${red! + green! + blue!}  i32.add  local.set $last

      local.get $g  local.get $r  local.get $r  local.get $g  i32.lt_s  select  local.set $wide
      i32.const ${green}  i32.const ${red}  local.get $r  local.get $g  i32.lt_s  select  local.set $up
      i32.const ${blue}  local.get $up  local.get $wide  local.get $b  i32.lt_s  select  local.set $up
      local.get $b  local.get $wide  local.get $wide  local.get $b  i32.lt_s  select  local.set $wide

      local.get $g  local.get $r  local.get $g  local.get $r  i32.lt_s  select  local.set $narrow
      i32.const ${green}  i32.const ${red}  local.get $g  local.get $r  i32.lt_s  select  local.set $back
      i32.const ${blue}  local.get $back  local.get $b  local.get $narrow  i32.lt_s  select  local.set $back
      local.get $b  local.get $narrow  local.get $b  local.get $narrow  i32.lt_s  select  local.set $narrow

      local.get $r  local.get $g  i32.add  local.get $b  i32.add
      local.get $wide  i32.sub  local.get $narrow  i32.sub  local.set $middle

      ${halves.map((half) => `i32.const 1  i32x4.splat  local.set $${half}`).join('  ')}
      i32.const 255  local.get $wide  i32.sub  i16x8.splat  local.set $share
      local.get $first${corner(halves)}
      local.get $wide  local.get $middle  i32.sub  i16x8.splat  local.set $share
      local.get $first  local.get $up  i32.add${corner(halves)}
      local.get $middle  local.get $narrow  i32.sub  i16x8.splat  local.set $share
      local.get $last  local.get $back  i32.sub${corner(halves)}
      local.get $narrow  i16x8.splat  local.set $share
      local.get $last${corner(halves)}
      ${halves.map(divided).join('')}
      ${Array.from({ length: inks }, (_, ink) => store(ink)).join('')}
      local.get $out  i32.const 2  i32.add  local.set $out
      local.get $rgb  i32.const 3  i32.add  local.tee $rgb  local.get $end  i32.lt_u  br_if 0
    end`,
  };
}
