import { constants, deflateRawSync, inflateRawSync } from 'node:zlib';
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { rowStream } from '../../../src/core/rng.ts';
import { codeLengths, codesOf } from '../../../src/io/formats/pixels/huffman.ts';
import { openPixelPacker } from '../../../src/io/formats/pixels/pack.ts';

const hash = (i: number): number => Math.imul(i + 1, 0x9e3779b1) >>> 8;

/** Rows whose pixels are colours by number, each row behind a byte 0. */
function rowsOf(widthPx: number, rows: number, colour: (i: number) => number): Uint8Array {
  const bytes = new Uint8Array(rows * (1 + 3 * widthPx));
  for (let y = 0; y < rows; y++)
    for (let x = 0; x < widthPx; x++) {
      const rgb = colour(y * widthPx + x);
      bytes.set([rgb >> 16, rgb >> 8, rgb], y * (1 + 3 * widthPx) + 1 + 3 * x);
    }
  return bytes;
}

function packed(bytes: Uint8Array, widthPx: number, plain: boolean): Uint8Array {
  const rowBytes = 1 + 3 * widthPx;
  const packer = openPixelPacker(rowBytes, bytes.length / rowBytes, plain);
  packer.rows.set(bytes);
  return Buffer.concat(packer.pack(bytes.length / rowBytes));
}

// the stream goes on behind a band
const unpacked = (bytes: Uint8Array): Buffer =>
  inflateRawSync(bytes, { finishFlush: constants.Z_SYNC_FLUSH });

const drawings: readonly [name: string, widthPx: number, rows: number, colour: (i: number) => number][] = [
  ['one pixel', 1, 1, () => 0x123456],
  ['bare paper, longer than a match', 4001, 20, () => 0xf6f2e8],
  ['no colour twice', 300, 33, (i) => i * 0x10003],
  ['bytes of every count, codes that would be long', 200, 16, (i) => (Math.clz32(hash(i)) - 8) * 0x010307],
  ['noise of few colours', 500, 40, (i) => (hash(i) % 90) * 0x010102],
  ['repeats as far back as they may be, and a pixel farther', 10_922, 4, (i) => (i * 0x10101) & 0xffffff],
  ['runs of each length', 700, 40, (i) => (Math.floor(Math.sqrt(i)) * 0x2345) & 0xffffff],
];

test.each(drawings)(
  'zlib finds what was packed, with and without WebAssembly alike: %s',
  (_, widthPx, rows, colour) => {
    const bytes = rowsOf(widthPx, rows, colour);
    const fast = packed(bytes, widthPx, false);
    expect(Buffer.compare(unpacked(fast), bytes)).toBe(0);
    expect(Buffer.compare(packed(bytes, widthPx, true), fast)).toBe(0);
  },
);

test('so it is whatever the colours', () => {
  fc.assert(
    fc.property(
      fc.integer({ min: 1, max: 40 }),
      fc.integer({ min: 1, max: 40 }),
      fc.integer({ min: 1, max: 300 }),
      fc.integer(),
      (widthPx, rows, colours, seed) => {
        const bytes = rowsOf(widthPx, rows, (i) => Math.imul(hash(i ^ seed) % colours, 0x9e3779b1) >>> 8);
        const fast = packed(bytes, widthPx, false);
        expect(Buffer.compare(unpacked(fast), bytes)).toBe(0);
        expect(Buffer.compare(packed(bytes, widthPx, true), fast)).toBe(0);
      },
    ),
    { seed: 1, numRuns: 100 },
  );
});

test('rows may be packed again and again, and bands follow each other', () => {
  const packer = openPixelPacker(1 + 3 * 100, 20);
  const first = rowsOf(100, 20, (i) => hash(i) % 7);
  const second = rowsOf(100, 9, (i) => hash(i) % 900);
  packer.rows.set(first);
  const bands = [Buffer.concat(packer.pack(20))];
  packer.rows.set(second);
  bands.push(Buffer.concat(packer.pack(9)));
  expect(Buffer.compare(unpacked(Buffer.concat(bands)), Buffer.concat([first, second]))).toBe(0);
  expect(Buffer.compare(packed(second, 100, false), bands[1]!)).toBe(0);
});

test('prints take no more room than by the quickest level of zlib', () => {
  const size = (colour: (i: number) => number): [ours: number, zlib: number] => {
    const bytes = rowsOf(1000, 64, colour);
    return [packed(bytes, 1000, false).length, deflateRawSync(bytes, { level: 1 }).length];
  };
  // levels of ink as twenty-five pixels of a screen have them, by chance, and in dots that come again
  const random = rowStream(1, 0, 0);
  const noise = Float64Array.from({ length: 64_000 }, () => (random() + random() + random()) / 2 ** 32);
  const [noisy, noisyByZlib] = size((i) => Math.round(30 * noise[i]!) * 0x020202);
  expect(noisy).toBeLessThan(noisyByZlib);
  const [dots, dotsByZlib] = size(
    (i) => Math.round(90 + 60 * Math.sin(i * 0.7) * Math.sin((i / 1000) * 0.9)) * 0x010101,
  );
  expect(dots).toBeLessThan(1.02 * dotsByZlib);
});

test('codes are those of the standard, and none is too long', () => {
  // RFC 1951, 3.2.2: lengths (3, 3, 3, 3, 3, 2, 4, 4) give 010, 011, 100, 101, 110, 00, 1110, 1111; here the first bit is the lowest
  expect([...codesOf(Uint8Array.of(3, 3, 3, 3, 3, 2, 4, 4))]).toEqual([
    0b010, 0b110, 0b001, 0b101, 0b011, 0b00, 0b0111, 0b1111,
  ]);
  // by hand: 1 + 1 = 2, 2 + 2 = 4, 4 + 4 = 8
  expect([...codeLengths([8, 0, 1, 4, 1, 2], 15)]).toEqual([1, 0, 4, 2, 4, 3]);
  fc.assert(
    fc.property(
      fc.array(fc.nat(1 << 20), { minLength: 2, maxLength: 286 }),
      fc.integer({ min: 9, max: 15 }),
      (counts, most) => {
        const lengths = codeLengths([...counts, 1, 1], most);
        const used = [...lengths].filter((length) => length > 0);
        expect(Math.max(...used)).toBeLessThanOrEqual(most);
        // Kraft: a whole code
        expect(used.reduce((sum, length) => sum + 2 ** -length, 0)).toBe(1);
        expect(used.length).toBe(2 + counts.filter((count) => count > 0).length);
      },
    ),
    { seed: 1, numRuns: 100 },
  );
});

test('no code sends less, where none is too long', () => {
  /** Joins the two rarest until one is left: each join is a bit for all that is in it. */
  const leastBits = (counts: readonly number[]): number => {
    let rest = [...counts];
    let bits = 0;
    while (rest.length > 1) {
      rest = rest.toSorted((a, b) => a - b);
      const joined = rest[0]! + rest[1]!;
      bits += joined;
      rest = [joined, ...rest.slice(2)];
    }
    return bits;
  };
  fc.assert(
    fc.property(fc.array(fc.nat(40), { minLength: 2, maxLength: 60 }), (counts) => {
      const all = [...counts, 1, 1];
      const lengths = codeLengths(all, 15);
      expect(all.reduce((sum, count, i) => sum + count * lengths[i]!, 0)).toBe(
        leastBits(all.filter((count) => count > 0)),
      );
    }),
    { seed: 1, numRuns: 100 },
  );
});
