import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  andFromLeft,
  andFromRight,
  createBlock,
  loadBlock,
  orFromLeft,
  orFromRight,
} from '../../../src/core/hold/words.ts';
import { fromTest, onSide } from './slow.ts';

const bits = (words: Int32Array): string =>
  [...words].map((word) => (word >>> 0).toString(2).padStart(32, '0')).join('');
const row = fc.array(fc.integer(), { minLength: 5, maxLength: 5 }).map((words) => Int32Array.from(words));
const join = (a: string, b: string, and: boolean): string =>
  [...a].map((bit, i) => String(and ? Number(bit) & Number(b[i]) : Number(bit) | Number(b[i]))).join('');

describe('rows of words', () => {
  test('meet each other moved left or right by any number of pixels', () => {
    fc.assert(
      fc.property(row, row, fc.nat(130), (to, from, shift) => {
        const right = bits(from).slice(shift).padEnd(160, '0');
        const left = bits(from)
          .slice(0, 160 - shift)
          .padStart(160, '0');
        for (const [run, moved, and] of [
          [andFromRight, right, true],
          [orFromRight, right, false],
          [andFromLeft, left, true],
          [orFromLeft, left, false],
        ] as const) {
          const words = Int32Array.from([...to, ...from]);
          run(words, 0, 5, 5, shift);
          expect(bits(words.subarray(0, 5))).toBe(join(bits(to), moved, and));
          const self = Int32Array.from(from);
          run(self, 0, 0, 5, shift);
          expect(bits(self)).toBe(join(bits(from), moved, and));
        }
      }),
      { seed: 1, numRuns: 200 },
    );
  });

  test('a block holds its side, its halo and what lies outside', () => {
    const map = fromTest(45, 9, (x, y) => (x * 7 + y * 3) % 5 < 2);
    for (const side of ['etched', 'kept'] as const) {
      for (const outside of [0, -1] as const) {
        const block = createBlock(map, 4, 3, 20);
        loadBlock(block, map, side, 6, outside);
        const inside = onSide(map, side, outside === -1);
        const rows = block.words.length / block.stride;
        for (let i = 0; i < rows; i++) {
          const text = bits(block.words.subarray(i * block.stride, (i + 1) * block.stride));
          const want = Array.from({ length: block.stride * 32 }, (_, k) =>
            inside(k - block.guard * 32, 6 - 3 + i),
          );
          expect(text).toBe(want.map((on) => (on ? '1' : '0')).join(''));
        }
      }
    }
  });
});
