import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { distinctNames, safeName } from '../../src/job/file-names.ts';

describe('safeName', () => {
  test.each([
    ['Ada P.', 'Ada-P'],
    ['Zoë K./B.', 'Zoë-K.-B'],
    ['../../etc/passwd', 'etc-passwd'],
    ['.hidden', 'hidden'],
    ['--out', 'out'],
    ['ferry 🚢 night', 'ferry-night'],
    ['🚢', 'plate'],
    ['', 'plate'],
    ['   ', 'plate'],
    ['渡し船', '渡し船'],
    ['a\0b\nc\td', 'a-b-c-d'],
    ['C:\\pictures\\a', 'C-pictures-a'],
    ['e\u0301', 'é'],
    ['\u0301a', 'a'],
  ])('%j becomes %j', (name, safe) => expect(safeName(name)).toBe(safe));

  // learn.microsoft.com, "Naming Files, Paths, and Namespaces": reserved with any ending, in any case
  test.each(['CON', 'prn', 'Aux', 'nul', 'COM1', 'lpt9', 'nul.tar'])('%s is no device', (name) => {
    const reserved = /^(con|prn|aux|nul|com\d|lpt\d)(\.|$)/i;
    expect(name).toMatch(reserved);
    expect(safeName(name)).not.toMatch(reserved);
  });

  test('a sign is never cut in two', () => {
    const name = safeName('ネ'.repeat(200));
    expect(name).toMatch(/^ネ+$/);
    expect(Buffer.byteLength(name)).toBeGreaterThan(70);
  });

  test('whatever the name: short, not hidden, of plain signs, and safe already', () =>
    fc.assert(
      fc.property(fc.string({ unit: 'binary', maxLength: 300 }), (name) => {
        const safe = safeName(name);
        expect(Buffer.byteLength(safe)).toBeLessThanOrEqual(90);
        expect(safe).toMatch(/^[\p{L}\p{N}]/u);
        expect(safe).not.toMatch(/[/\\:*?"<>|\s\p{C}]|[.-]$/u);
        expect(safeName(safe)).toBe(safe);
      }),
      { seed: 11, numRuns: 400 },
    ));
});

describe('distinctNames', () => {
  test('the second of a name gets a number, and no name that another has', () => {
    expect(distinctNames(['A.', 'A.', 'a', 'B', 'A'])).toEqual(['A', 'A-2', 'a-3', 'B', 'A-4']);
    expect(distinctNames(['A', 'A', 'A-2'])).toEqual(['A', 'A-3', 'A-2']);
  });

  test('all different on disks that do not tell capitals apart; the first keeps its name', () =>
    fc.assert(
      fc.property(
        fc.array(
          fc.constantFrom('A', 'a', 'A-2', 'a-3', 'Ä', 'A\u0308', 'b.', 'b', '🚢', '.', 'x'.repeat(200)),
          {
            maxLength: 40,
          },
        ),
        (names) => {
          const given = distinctNames(names);
          expect(new Set(given.map((name) => name.toLowerCase())).size).toBe(names.length);
          if (names.length > 0) expect(given[0]).toBe(safeName(names[0]!));
          for (const name of given) expect(Buffer.byteLength(name)).toBeLessThanOrEqual(90);
        },
      ),
      { seed: 12 },
    ));

  test('a long list of one name is named at once', () => {
    const given = distinctNames(Array.from({ length: 5000 }, () => 'A'));
    expect(given.at(-1)).toBe('A-5000');
  });
});
