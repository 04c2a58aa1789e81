import fc from 'fast-check';
import { expect, test } from 'vitest';
import { parsePart, partOf } from '../../src/job/part.ts';

test.each(['0/8', '9/8', '2', '2/', '/8', '-1/8', '1.5/8', 'a/b', '1/0', '2 / 8', ''])(
  '%j is no part',
  (text) => expect(() => parsePart(text)).toThrow(/not understood/),
);

test('parts are disjoint, together all, of nearly the same length, and a row stays in its part as the list grows', () =>
  fc.assert(
    fc.property(fc.nat(200), fc.integer({ min: 1, max: 12 }), fc.nat(5), (length, of, more) => {
      const rows = Array.from({ length }, (_, i) => i);
      const parts = Array.from({ length: of }, (_, i) => partOf(rows, parsePart(`${i + 1}/${of}`)));
      expect(parts.flat().sort((a, b) => a - b)).toEqual(rows);
      const lengths = parts.map((part) => part.length);
      expect(Math.max(...lengths) - Math.min(...lengths)).toBeLessThanOrEqual(1);
      const longer = [...rows, ...Array.from({ length: more }, (_, i) => length + i)];
      for (const [i, part] of parts.entries())
        expect(partOf(longer, { index: i + 1, of }).slice(0, part.length)).toEqual(part);
    }),
    { seed: 13 },
  ));
