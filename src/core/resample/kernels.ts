import type { WasmFunction } from '../wasm/assemble.ts';

/**
 * One source row to one filtered row, from `out` to `end`. Each output pixel has a place of three addresses: its first tap, and
 * from and to which of them the pixels nearest to it lie; and `taps` bytes of weights, a multiple of 16, their signs turned.
 */
export const acrossText: WasmFunction = {
  params: ['place', 'weight', 'taps', 'out', 'end'],
  i32: ['tap', 'stop', 'tone', 'lo', 'hi'],
  v128: ['sum'],
  text: `
    loop
      local.get $place  i32.load  local.tee $tap  local.get $taps  i32.add  local.set $stop
      i32.const 0  i32x4.splat  local.set $sum
      loop
        local.get $sum
        local.get $tap  v128.load  local.get $weight  v128.load  i32x4.dot_i16x8_s
        i32x4.add  local.set $sum
        local.get $weight  i32.const 16  i32.add  local.set $weight
        local.get $tap  i32.const 16  i32.add  local.tee $tap  local.get $stop  i32.lt_u  br_if 0
      end
      i32.const 32767  local.set $lo
      i32.const -32768  local.set $hi
      local.get $place  i32.load offset=4  local.set $tap
      local.get $place  i32.load offset=8  local.set $stop
      loop
        local.get $tap  i32.load16_s  local.tee $tone
        local.get $lo  local.get $tone  local.get $lo  i32.lt_s  select  local.set $lo
        local.get $tone  local.get $hi  local.get $tone  local.get $hi  i32.gt_s  select  local.set $hi
        local.get $tap  i32.const 2  i32.add  local.tee $tap  local.get $stop  i32.lt_u  br_if 0
      end
      i32.const 16384
      local.get $sum
      local.get $sum  local.get $sum  i8x16.shuffle 8 9 10 11 12 13 14 15 0 1 2 3 4 5 6 7
      i32x4.add  local.tee $sum  i32x4.extract_lane 0
      local.get $sum  i32x4.extract_lane 1
      i32.add  i32.sub  i32.const 15  i32.shr_s  local.tee $tone
      local.get $hi  local.get $tone  local.get $hi  i32.lt_s  select  local.set $tone
      local.get $out
      local.get $tone  local.get $lo  local.get $tone  local.get $lo  i32.gt_s  select
      i32.store16
      local.get $place  i32.const 12  i32.add  local.set $place
      local.get $out  i32.const 2  i32.add  local.tee $out  local.get $end  i32.lt_u  br_if 0
    end`,
};

/**
 * Filtered rows to `bytes` bytes of tones at `out`, eight pixels at a time. Each pair of taps, up to `pairsEnd`, has the addresses
 * of its two rows and their two weights, signs turned; from `near` to `nearEnd` stand the addresses of the rows that bound the result.
 */
export const downText: WasmFunction = {
  params: ['pairs', 'pairsEnd', 'near', 'nearEnd', 'out', 'bytes'],
  i32: ['x', 'at'],
  v128: ['a', 'b', 'weights', 'left', 'right', 'lo', 'hi'],
  text: `
    loop
      i32.const 16384  i32x4.splat  local.tee $left  local.set $right
      local.get $pairs  local.set $at
      loop
        local.get $at  i32.load  local.get $x  i32.add  v128.load  local.set $a
        local.get $at  i32.load offset=4  local.get $x  i32.add  v128.load  local.set $b
        local.get $at  v128.load32_splat offset=8  local.set $weights
        local.get $left
        local.get $a  local.get $b  i8x16.shuffle 0 1 16 17 2 3 18 19 4 5 20 21 6 7 22 23
        local.get $weights  i32x4.dot_i16x8_s  i32x4.sub  local.set $left
        local.get $right
        local.get $a  local.get $b  i8x16.shuffle 8 9 24 25 10 11 26 27 12 13 28 29 14 15 30 31
        local.get $weights  i32x4.dot_i16x8_s  i32x4.sub  local.set $right
        local.get $at  i32.const 12  i32.add  local.tee $at  local.get $pairsEnd  i32.lt_u  br_if 0
      end
      i32.const 32767  i16x8.splat  local.set $lo
      i32.const -32768  i16x8.splat  local.set $hi
      local.get $near  local.set $at
      loop
        local.get $at  i32.load  local.get $x  i32.add  v128.load  local.tee $a
        local.get $lo  i16x8.min_s  local.set $lo
        local.get $a  local.get $hi  i16x8.max_s  local.set $hi
        local.get $at  i32.const 4  i32.add  local.tee $at  local.get $nearEnd  i32.lt_u  br_if 0
      end
      local.get $out  local.get $x  i32.add
      local.get $left  i32.const 15  i32x4.shr_s
      local.get $right  i32.const 15  i32x4.shr_s
      i16x8.narrow_i32x4_s
      local.get $hi  i16x8.min_s  local.get $lo  i16x8.max_s
      i32.const -32768  i16x8.splat  v128.xor
      v128.store
      local.get $x  i32.const 16  i32.add  local.tee $x  local.get $bytes  i32.lt_u  br_if 0
    end`,
};
