import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  complementRow,
  countBits,
  countWord,
  createBitmap,
  fillRow,
  getBit,
  mirrorRow,
  placeRow,
  tailMask,
} from '../../src/core/bitmap.ts';
import { drawing, drawn, fromRows } from './drawing.ts';

const row = fc.array(fc.boolean(), { minLength: 1, maxLength: 70 });
const check = (property: fc.IProperty<[boolean[]]> | fc.IRawProperty<never>) =>
  fc.assert(property as fc.IProperty<unknown>, { seed: 1, numRuns: 200 });
const bits = (map: ReturnType<typeof fromRows>) =>
  Array.from({ length: map.widthPx }, (_, x) => getBit(map, x, 0) === 1);
const paddingOf = (map: ReturnType<typeof fromRows>) =>
  map.data[map.strideBytes - 1]! & ~tailMask(map.widthPx) & 0xff;

describe('one row of a bitmap', () => {
  test('the ten-pixel row acc0 mirrors to cd40 (1010110011 read from the right)', () => {
    const map = drawing('#.#.##..##');
    expect([...map.data]).toEqual([0xac, 0xc0]);
    mirrorRow(map.data, 0, 10);
    expect([...map.data]).toEqual([0xcd, 0x40]);
  });

  test('mirroring puts column i at width − 1 − i, twice is nothing, and the padding stays 0', () => {
    check(
      fc.property(row, (pixels) => {
        const map = fromRows([pixels]);
        mirrorRow(map.data, 0, map.widthPx);
        expect(bits(map)).toEqual([...pixels].reverse());
        expect(paddingOf(map)).toBe(0);
        mirrorRow(map.data, 0, map.widthPx);
        expect(bits(map)).toEqual(pixels);
      }),
    );
  });

  test('the complement turns every pixel over and leaves the padding 0', () => {
    check(
      fc.property(row, (pixels) => {
        const map = fromRows([pixels]);
        complementRow(map.data, 0, map.widthPx);
        expect(bits(map)).toEqual(pixels.map((bit) => !bit));
        expect(paddingOf(map)).toBe(0);
      }),
    );
  });

  test('filling sets exactly the pixels asked for', () => {
    fc.assert(
      fc.property(row, fc.nat(70), fc.nat(70), fc.boolean(), (pixels, a, b, bit) => {
        const from = Math.min(a, b, pixels.length);
        const to = Math.min(Math.max(a, b), pixels.length);
        const map = fromRows([pixels]);
        fillRow(map.data, 0, from, to, bit ? 1 : 0);
        expect(bits(map)).toEqual(pixels.map((old, x) => (x >= from && x < to ? bit : old)));
      }),
      { seed: 1, numRuns: 300 },
    );
  });

  test('placing a row moves its pixels and touches no other', () => {
    fc.assert(
      fc.property(row, row, fc.nat(40), (source, under, at) => {
        const width = Math.max(under.length, source.length + at);
        const target = fromRows([Array.from({ length: width }, (_, x) => under[x] ?? false)]);
        const before = bits(target);
        const from = fromRows([source]);
        // whatever stands in the padding must not come along
        from.data[from.strideBytes - 1] = from.data[from.strideBytes - 1]! | (~tailMask(from.widthPx) & 0xff);
        placeRow(from.data, 0, source.length, target.data, 0, at);
        expect(bits(target)).toEqual(
          before.map((old, x) => (x >= at && x < at + source.length ? source[x - at]! : old)),
        );
      }),
      { seed: 1, numRuns: 300 },
    );
  });
});

test('set bits are counted in any byte range', () => {
  fc.assert(
    fc.property(fc.uint8Array({ maxLength: 40 }), fc.nat(40), fc.nat(40), (data, a, b) => {
      const from = Math.min(a, b, data.length);
      const to = Math.min(Math.max(a, b), data.length);
      const slow = [...data.subarray(from, to)].reduce(
        (sum, byte) => sum + byte.toString(2).replaceAll('0', '').length,
        0,
      );
      expect(countBits(data, from, to)).toBe(slow);
    }),
    { seed: 1, numRuns: 300 },
  );
});

test('a shared bitmap lies in memory that workers can reach', () => {
  expect(createBitmap(9, 2, true).data.buffer).toBeInstanceOf(SharedArrayBuffer);
  expect(createBitmap(9, 2).data.length).toBe(4);
});

test('a drawing comes back as it was drawn', () => {
  expect(drawn(drawing('#..\n.#.'))).toBe('#..\n.#.');
});

test('set bits of a word are counted', () => {
  expect([0, 1, -1, 0x80000000 | 0, 0x0f0f0f0f].map(countWord)).toEqual([0, 1, 32, 1, 16]);
});
