import fc from 'fast-check';
import { expect, test } from 'vitest';
import { openPlainUnions, openUnions, type Step, type Unions } from '../../../src/core/spot/unions.ts';

const WORDS = 9;
const REST = 4;

const words = fc.array(fc.array(fc.integer(), { minLength: WORDS, maxLength: WORDS }), {
  minLength: REST + 1,
  maxLength: REST + 1,
});
const plan = fc
  .array(fc.tuple(fc.nat(), fc.uniqueArray(fc.nat(REST - 1), { maxLength: REST })), { minLength: 1 })
  .map((steps) => steps.map(([any, extras], i): Step => ({ parent: (any % (i + 1)) - 1, extras, units: 1 })));

function countsOf(unions: Unions, steps: readonly Step[], filled: number[][], length: number): number[] {
  // what lies behind the words of a row in hand is 0 up to the next vector
  const lay = (row: number[], into: Int32Array) => into.fill(0).set(row.slice(0, length));
  lay(filled[0]!, unions.always);
  for (const [k, row] of unions.reached.entries()) lay(filled[k + 1]!, row);
  return steps.map((_, i) => unions.count(i, length));
}

test('unions by vectors count the bits that the plain ones count, in rows of any length', () => {
  fc.assert(
    fc.property(plan, words, fc.integer({ min: 1, max: WORDS }), (steps, filled, length) => {
      const plain = openPlainUnions(steps, REST, WORDS);
      const vectors = openUnions(steps, REST, WORDS);
      // vectors live in one memory; plain rows do not
      expect(vectors.always.buffer).toBe(vectors.reached[0]!.buffer);
      expect(countsOf(vectors, steps, filled, length)).toEqual(countsOf(plain, steps, filled, length));
    }),
    { seed: 1, numRuns: 200 },
  );
});
