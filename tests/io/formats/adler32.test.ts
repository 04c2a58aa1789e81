import { deflateSync } from 'node:zlib';
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { adler32, combineAdler32, plainAdler32 } from '../../../src/io/formats/adler32.ts';

/** zlib ends every stream with the checksum of what went in (RFC 1950, section 2.2). */
const byZlib = (bytes: Uint8Array): number =>
  deflateSync(bytes, { level: 0 }).readUInt32BE(deflateSync(bytes, { level: 0 }).length - 4);

test('knows the checksum of a word', () => {
  // 'W' 87, 'i' 105 … summed by hand: a = 1 + 87 + 105 + 107 + 105 + 112 + 101 + 100 + 105 + 97
  expect(adler32(Buffer.from('Wikipedia'))).toBe(0x11e60398);
  expect(adler32(new Uint8Array(0))).toBe(1);
});

test('agrees with zlib, also where the sums are largest', () => {
  for (const bytes of [1, 3839, 3840, 3841, 7681, 100_000]) {
    const white = new Uint8Array(bytes).fill(255);
    expect(adler32(white)).toBe(byZlib(white));
  }
  fc.assert(
    fc.property(fc.uint8Array({ maxLength: 9000 }), (bytes) => {
      expect(adler32(bytes)).toBe(byZlib(bytes));
    }),
    { seed: 1, numRuns: 50 },
  );
});

test('sums by vectors and one by one alike, as zlib does, on both sides of what a call takes', () => {
  for (const bytes of [16_383, 16_384, 16_385, 32_768, 50_001]) {
    const noise = Uint8Array.from({ length: bytes }, (_, i) => Math.imul(i + 1, 0x9e3779b1) >>> 24);
    for (const run of [noise, new Uint8Array(bytes).fill(255)]) {
      expect(plainAdler32(run)).toBe(byZlib(run));
      expect(adler32(run)).toBe(byZlib(run));
    }
  }
});

test('joins two checksums as if the bytes had been one run', () => {
  const part = fc
    .tuple(fc.nat({ max: 70_000 }), fc.nat({ max: 255 }))
    .map(([bytes, value]) => new Uint8Array(bytes).fill(value));
  fc.assert(
    fc.property(part, part, (first, second) => {
      const joined = combineAdler32(adler32(first), adler32(second), second.length);
      expect(joined).toBe(adler32(Buffer.concat([first, second])));
    }),
    { seed: 2, numRuns: 50 },
  );
});
