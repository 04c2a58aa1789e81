import fc from 'fast-check';
import { expect, test } from 'vitest';
import { createBitmap, getBit, setBit } from '../../../src/core/bitmap.ts';
import { type PlaneSize, resized, resizedBits } from '../../../src/core/proof/box.ts';

/** Overlap of [a, b) with pixel i. */
const overlap = (a: number, b: number, i: number): number => Math.max(0, Math.min(b, i + 1) - Math.max(a, i));

test('a reduced plane of bits has the mean of the area under each of its pixels', () => {
  const side = fc.integer({ min: 1, max: 41 });
  const sides = fc.record({ from: fc.tuple(side, side), to: fc.tuple(side, side) });
  fc.assert(
    fc.property(sides, fc.infiniteStream(fc.boolean()), fc.boolean(), ({ from, to }, dots, turned) => {
      const map = createBitmap(...from);
      for (let y = 0; y < map.heightPx; y++)
        for (let x = 0; x < map.widthPx; x++) setBit(map, x, y, dots.next().value ? 1 : 0);
      const size: PlaneSize = { widthPx: to[0], heightPx: to[1] };
      const rows = resizedBits(
        { data: map.data, at: (y) => y * map.strideBytes },
        turned ? 0xff : 0,
        map,
        size,
      );
      const row = new Float32Array(size.widthPx);
      const [perX, perY] = [map.widthPx / size.widthPx, map.heightPx / size.heightPx];
      for (let y = 0; y < size.heightPx; y++) {
        rows(y, row);
        for (let x = 0; x < size.widthPx; x++) {
          let sum = 0;
          for (let v = 0; v < map.heightPx; v++)
            for (let u = 0; u < map.widthPx; u++)
              if (getBit(map, u, v) !== (turned ? 1 : 0))
                sum += overlap(x * perX, (x + 1) * perX, u) * overlap(y * perY, (y + 1) * perY, v);
          expect(row[x]).toBeCloseTo(sum / (perX * perY), 5);
        }
      }
    }),
    { seed: 11, numRuns: 60 },
  );
});

test('a reduced plane of shares is, to the last bit, its rows summed across and then added up, whatever it lies on', () => {
  const side = fc.integer({ min: 1, max: 29 });
  const part = fc.constantFrom(0, 0.25, 0.75);
  const share = fc.float({ min: 0, max: 1, noNaN: true });
  fc.assert(
    fc.property(side, side, side, side, part, fc.infiniteStream(share), (wide, high, w, h, cut, shares) => {
      const from: PlaneSize = { widthPx: wide - cut, heightPx: high - cut };
      const to: PlaneSize = { widthPx: w, heightPx: h };
      const plane = Array.from({ length: high }, () =>
        Float32Array.from({ length: wide }, () => shares.next().value!),
      );
      // by vectors and without
      const ways = [false, true].map((plain) => resized((y, into) => into.set(plane[y]!), from, to, plain));
      const row = new Float32Array(w);
      // from which pixel to which, and how much of these two
      const cut1 = (i: number, length: number, parts: number): [number, number, number, number] => {
        const [start, end] = [(i * length) / parts, ((i + 1) * length) / parts];
        const first = Math.floor(start);
        const last = Math.max(first, Math.min(Math.ceil(length), Math.ceil(end)) - 1);
        return first === last ? [first, last, end - start, 0] : [first, last, first + 1 - start, end - last];
      };
      const across = plane.map((line) =>
        Float32Array.from({ length: w }, (_, x) => {
          const [first, last, head, tail] = cut1(x, from.widthPx, w);
          let sum = line[first]! * head + line[last]! * tail;
          for (let u = first + 1; u < last; u++) sum += line[u]!;
          return sum;
        }),
      );
      const perArea = (w / from.widthPx) * (h / from.heightPx);
      for (let y = 0; y < h; y++) {
        const [first, last, head, tail] = cut1(y, from.heightPx, h);
        const slow = Float32Array.from({ length: w }, (_, x) => {
          let sum = head * across[first]![x]!;
          for (let v = first + 1; v < last; v++) sum += across[v]![x]!;
          if (last > first) sum += tail * across[last]![x]!;
          return Math.min(1, sum * perArea);
        });
        for (const rows of ways) {
          rows(y, row);
          expect(row).toEqual(slow);
        }
      }
    }),
    { seed: 12, numRuns: 200 },
  );
});
