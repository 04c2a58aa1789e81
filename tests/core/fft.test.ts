import fc from 'fast-check';
import { expect, test } from 'vitest';
import { openFft, openFft2d } from '../../src/core/fft.ts';

/** The sum of the definition, term by term. */
function slowly(re: Float64Array, im: Float64Array): [Float64Array, Float64Array] {
  const n = re.length;
  const out: [Float64Array, Float64Array] = [new Float64Array(n), new Float64Array(n)];
  for (let k = 0; k < n; k++)
    for (let j = 0; j < n; j++) {
      const turn = (-2 * Math.PI * j * k) / n;
      out[0][k]! += re[j]! * Math.cos(turn) - im[j]! * Math.sin(turn);
      out[1][k]! += re[j]! * Math.sin(turn) + im[j]! * Math.cos(turn);
    }
  return out;
}

const part = fc.double({ min: -1, max: 1, noNaN: true });
const sequence = fc
  .constantFrom(1, 2, 4, 8, 16, 32)
  .chain((n) => fc.array(fc.tuple(part, part), { minLength: n, maxLength: n }));

test('equals the sum of the definition', () => {
  fc.assert(
    fc.property(sequence, (numbers) => {
      const re = Float64Array.from(numbers, ([a]) => a);
      const im = Float64Array.from(numbers, ([, b]) => b);
      const [wantedRe, wantedIm] = slowly(re, im);
      openFft(re.length)(re, im);
      for (let k = 0; k < re.length; k++) {
        expect(re[k]).toBeCloseTo(wantedRe[k]!, 9);
        expect(im[k]).toBeCloseTo(wantedIm[k]!, 9);
      }
    }),
    { seed: 1, numRuns: 60 },
  );
});

test('a wave along both axes is one pair of peaks', () => {
  const side = 16;
  const re = Float64Array.from({ length: side * side }, (_, i) =>
    Math.cos((2 * Math.PI * (3 * (i % side) + 5 * Math.floor(i / side))) / side),
  );
  const im = new Float64Array(side * side);
  openFft2d(side)(re, im);
  const power = re.map((value, i) => Math.hypot(value, im[i]!));
  const peaks = [...power.entries()]
    .filter(([, size]) => size > 1)
    .map(([i]) => [i % side, Math.floor(i / side)]);
  expect(peaks).toEqual([
    [3, 5],
    [13, 11],
  ]);
  expect(power[5 * side + 3]).toBeCloseTo((side * side) / 2, 9);
});

test('only powers of two', () => {
  for (const n of [0, 3, 12]) expect(() => openFft(n)).toThrow(RangeError);
});
