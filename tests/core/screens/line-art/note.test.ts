import fc from 'fast-check';
import { expect, test } from 'vitest';
import { rowStream } from '../../../../src/core/rng.ts';
import { openPlainRows, openVectorRows, type ToneRows } from '../../../../src/core/screens/line-art/tones.ts';

const ROWS = 3;

/** Whole words of bits, so that a row of one more or less is tried often. */
const widths = fc.oneof(
  fc.integer({ min: 1, max: 1200 }),
  fc.constantFrom(15, 16, 17, 511, 512, 513, 1024, 1025),
);

const given = fc.record({
  widthPx: widths,
  seed: fc.nat(),
  darkFrom: fc
    .oneof(fc.integer({ min: 0, max: 32_767 }), fc.constantFrom(0, 16_384, 32_767))
    .map((half) => 2 * half),
  lightTo: fc
    .oneof(fc.integer({ min: 0, max: 32_767 }), fc.constantFrom(0, 16_384, 32_767))
    .map((half) => 2 * half + 1),
});

/** Rows that lie between the limits, where those leave room, but for a few tones at them, next to them and at the ends of the scale. */
function rowOf(widthPx: number, seed: number, y: number, darkFrom: number, lightTo: number): Uint16Array {
  const random = rowStream(seed, 0, y);
  const special = [0, 1, 32_767, 32_768, 65_534, 65_535, darkFrom - 1, darkFrom, lightTo, lightTo + 1];
  const row = new Uint16Array(widthPx).fill((darkFrom + lightTo) >> 1);
  for (let i = random() % 40; i > 0; i--)
    row[random() % widthPx] = Math.max(0, Math.min(65_535, special[random() % special.length]!));
  return row;
}

test('ends noted by vectors are those of the plain loop and of the tones themselves', () => {
  fc.assert(
    fc.property(given, ({ widthPx, seed, darkFrom, lightTo }) => {
      const vector = openVectorRows(widthPx, ROWS);
      // a test that compares the plain loop with itself would say nothing
      if (vector === null) throw new Error('this engine has no vectors');
      const plain = openPlainRows(widthPx, ROWS);
      const bitsOf = (rows: ToneRows, tone: Uint16Array, y: number): number[][] => {
        rows.take(tone, y);
        rows.note(y, darkFrom, lightTo);
        return [[...rows.dark], [...rows.light]];
      };
      for (let y = -2; y < 3; y++) {
        const tone = rowOf(widthPx, seed, y + 2, darkFrom, lightTo);
        const bits = (passes: (tone: number) => boolean): number[] =>
          Array.from(plain.dark, (_, word) => {
            let bits = 0;
            for (let unit = 32 * word; unit < 32 * (word + 1); unit++) {
              const own = Array.from({ length: 16 }, (_, x) => tone[Math.min(widthPx - 1, 16 * unit + x)]!);
              bits = (bits << 1) | (own.some(passes) ? 1 : 0);
            }
            return bits;
          });
        const slow = [bits((t) => t >= darkFrom), bits((t) => t <= lightTo)];
        expect(bitsOf(plain, tone, y)).toEqual(slow);
        expect(bitsOf(vector, tone, y)).toEqual(slow);
      }
    }),
    { seed: 5, numRuns: 200 },
  );
});
