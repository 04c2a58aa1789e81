import type { WasmFunction } from '../wasm/assemble.ts';

/** Adds the light of the code that lies `offset` behind `$at` to a sum; light lies at the beginning, a word for each code. */
const add = (load: 'i32.load8_u' | 'i32.load16_u', offset: number, sum: string): string => `
  local.get $at  ${load} offset=${offset}  i32.const 2  i32.shl  i32.load
  local.get ${sum}  i32.add  local.set ${sum}`;

/** Where the square that begins at `$at` ends: `$step` on, or where the row does. */
const square = `
  local.get $at  local.get $step  i32.add  local.tee $next
  local.get $end  local.get $next  local.get $end  i32.lt_u  select  local.set $next`;

const store = (offset: number, sum: string): string => `
  local.get $into  local.get $into  i32.load offset=${offset}  local.get ${sum}  i32.add  i32.store offset=${offset}`;

/** Sums of a row of codes of so many bytes, four at a time as far as they go. */
const grey = (bytes: 1 | 2): WasmFunction => {
  const load = bytes === 1 ? 'i32.load8_u' : 'i32.load16_u';
  return {
    params: ['at', 'end', 'step', 'into'],
    i32: ['next', 'sum'],
    v128: [],
    text: `
      loop
        ${square}
        i32.const 0  local.set $sum
        block
          loop
            local.get $at  i32.const ${4 * bytes}  i32.add  local.get $next  i32.gt_u  br_if 1
            ${[0, 1, 2, 3].map((i) => add(load, i * bytes, '$sum')).join('')}
            local.get $at  i32.const ${4 * bytes}  i32.add  local.set $at
            br 0
          end
        end
        block
          loop
            local.get $at  local.get $next  i32.ge_u  br_if 1
            ${add(load, 0, '$sum')}
            local.get $at  i32.const ${bytes}  i32.add  local.set $at
            br 0
          end
        end
        ${store(0, '$sum')}
        local.get $into  i32.const 4  i32.add  local.set $into
        local.get $at  local.get $end  i32.lt_u  br_if 0
      end`,
  };
};

const rgb8: WasmFunction = {
  params: ['at', 'end', 'step', 'into'],
  i32: ['next', 'red', 'green', 'blue'],
  v128: [],
  text: `
    loop
      ${square}
      i32.const 0  local.set $red
      i32.const 0  local.set $green
      i32.const 0  local.set $blue
      loop
        ${add('i32.load8_u', 0, '$red')}
        ${add('i32.load8_u', 1, '$green')}
        ${add('i32.load8_u', 2, '$blue')}
        local.get $at  i32.const 3  i32.add  local.tee $at  local.get $next  i32.lt_u  br_if 0
      end
      ${store(0, '$red')}
      ${store(4, '$green')}
      ${store(8, '$blue')}
      local.get $into  i32.const 12  i32.add  local.set $into
      local.get $at  local.get $end  i32.lt_u  br_if 0
    end`,
};

/** Each adds the light of the codes from address `at` to `end` to sums from `into` on, one for each `step` bytes and channel. */
export const kernels = { grey8: grey(1), grey16: grey(2), rgb8 };
