import { createHash } from 'node:crypto';
import { expect, test } from 'vitest';
import { grainTexture } from '../../../../src/core/screens/grain/texture.ts';

const hash = ({ offsets }: { offsets: Int16Array }): string =>
  createHash('sha256').update(new Uint8Array(offsets.buffer)).digest('hex').slice(0, 16);

const first = grainTexture(1, 0);

test('the texture of a seed is the same in every process', () => {
  expect(first.sideCells).toBe(256);
  expect(hash(first)).toBe('f7aadf54ea977c8f');
});

test('another seed or plate has another texture', () => {
  expect(new Set([first, grainTexture(2, 0), grainTexture(1, 1)].map(hash)).size).toBe(3);
});

test('every offset is as frequent as any other, so the tone stays where it is', () => {
  const below = (limit: number): number =>
    first.offsets.reduce((count, offset) => (offset < limit ? count + 1 : count), 0) / first.offsets.length;
  for (let step = 1; step < 16; step++)
    expect(Math.abs(below(-32768 + step * 4096) - step / 16), `${step} of 16`).toBeLessThan(1e-4);
});
