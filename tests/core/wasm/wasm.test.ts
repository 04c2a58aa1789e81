import { expect, test } from 'vitest';
import { assemble } from '../../../src/core/wasm/assemble.ts';
import { openWasm } from '../../../src/core/wasm/open.ts';

test('the smallest function comes out as the specification writes it', () => {
  // WebAssembly Core Specification 2.0, chapters 5.3 to 5.5, by hand: store −200 (LEB128: b8 7e) as 16 bits at `at` + 300 (ac 02)
  const text = 'local.get $at  i32.const -200  i32.store16 offset=300';
  const bytes = assemble({ f: { params: ['at'], i32: [], v128: [], text } });
  const hex = (part: Uint8Array) => [...part].map((byte) => byte.toString(16).padStart(2, '0')).join(' ');
  expect(hex(bytes)).toBe(
    [
      '00 61 73 6d 01 00 00 00',
      '01 05 01 60 01 7f 00',
      '02 12 01 06 73 68 61 72 65 64 06 6d 65 6d 6f 72 79 02 00 01',
      '03 02 01 00',
      '07 05 01 01 66 00 00',
      '0a 11 01 0f 02 00 7f 00 7b 20 00 41 b8 7e 3b 00 ac 02 0b',
    ].join(' '),
  );
});

test('functions work in the memory they share; a mistaken text is told at once, or by the engine', () => {
  const text = 'local.get $at  local.get $value  i32.store16';
  const opened = openWasm({ put: { params: ['at', 'value'], i32: [], v128: [], text } }, 70_000);
  opened?.run.put(4, 513);
  expect([...new Uint8Array(opened?.buffer ?? new ArrayBuffer()).subarray(3, 7)]).toEqual([0, 1, 2, 0]);
  expect(opened?.buffer.byteLength).toBe(131_072);
  expect(() => assemble({ f: { params: [], i32: [], v128: [], text: 'i32.nonsense' } })).toThrow(
    'no such instruction: i32.nonsense',
  );
  // a value too few: no engine takes it, so the plain way is gone
  expect(
    openWasm({ f: { params: ['at'], i32: [], v128: [], text: 'local.get $at  i32.store16' } }, 1),
  ).toBeNull();
});
