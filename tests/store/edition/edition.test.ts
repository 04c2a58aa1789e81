import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { startSheets } from '../../../src/core/start-sheets.ts';
import { type LedgerDraft, type LedgerEntry, ledgerEntry } from '../../../src/store/edition/entry.ts';
import { editionFacts, entryWords, ranges } from '../../../src/store/edition/facts.ts';
import { readLedger } from '../../../src/store/edition/ledger.ts';
import { sheetsInHand, usedSheets } from '../../../src/store/edition/state.ts';
import { begin, plate } from './drafts.ts';

const entriesOf = (...drafts: readonly LedgerDraft[]): LedgerEntry[] =>
  drafts.map((draft, i) =>
    ledgerEntry(draft, `e${String(i + 1).padStart(11, '0')}`, '2031-05-03T09:00:00.000Z'),
  );

const key = plate('key');
const bat: LedgerDraft = { kind: 'proof', as: 'BAT', by: 'M. Quay' };
const upTo = (count: number): number[] => Array.from({ length: count }, (_, i) => i + 1);
const number = (as: 'edition' | 'AP' | 'PP' | 'HC', numbers: number[], from: string[] = []): LedgerDraft => ({
  kind: 'number',
  as,
  numbers,
  from,
});
const all = [number('edition', upTo(24)), number('AP', upTo(3)), number('PP', upTo(2))];
const archive: LedgerDraft = { kind: 'proof', as: 'archive' };
const spoilt: LedgerDraft = { kind: 'spoil', count: 6 };
const close: LedgerDraft = { kind: 'close' };
const whole = [begin, key, bat, ...all, archive, spoilt, close];

/** The rule that the last of these breaks; null where all stand. */
function broken(...drafts: readonly LedgerDraft[]): string | null {
  const entries = entriesOf(...drafts);
  const { refused } = readLedger(entries);
  const [earlier] = entries.slice(0, -1).filter(({ id }) => refused.has(id));
  expect(earlier && entryWords(earlier), 'only the last breaks a rule').toBeUndefined();
  return refused.get(entries.at(-1)!.id)?.code ?? null;
}

test('24 + 3 AP + 2 PP + BAT + archive from 37 sheets closes, with 6 spoiled', () => {
  const read = readLedger(entriesOf(...whole));
  expect([...read.refused.values()]).toEqual([]);
  expect(usedSheets(read.ledger)).toBe(24 + 3 + 2 + 1 + 1 + 6);
  expect(editionFacts(read)).toMatchObject({ inHand: 0, spoiled: 6, sheets: 37, closedOn: '2031-05-03' });
});

describe('every rule is tried', () => {
  const numbered = [begin, key, bat, number('edition', [1])];
  test.each<[string | null, LedgerDraft[]]>([
    ['not-begun', [key]],
    ['begun-twice', [begin, begin]],
    ['plate-twice', [begin, key, plate('key', 'b')]],
    ['undeclared-duplicate', [begin, key, plate('second')]],
    [null, [begin, key, plate('second', 'a', { duplicateOf: 'key' })]],
    ['no-duplicate', [begin, key, plate('second', 'b', { duplicateOf: 'key' })]],
    ['no-such-plate', [begin, key, plate('second', 'a', { duplicateOf: 'kye' })]],
    ['plate-after-numbering', [...numbered, plate('tint', 'b')]],
    [null, [...numbered, plate('second', 'a', { duplicateOf: 'key' })]],
    ['no-such-plate', [begin, key, { kind: 'state', plate: 'kye', words: 'deeper' }]],
    ['state-after-numbering', [...numbered, { kind: 'state', plate: 'key', words: 'deeper' }]],
    ['no-such-plate', [begin, key, { kind: 'pull', plate: 'kye', count: 1 }]],
    ['spoiled-more', [begin, key, { kind: 'pull', plate: 'key', count: 1, spoiled: 2 }]],
    ['one-bat', [begin, key, { ...bat, count: 2 }]],
    ['bat-twice', [begin, key, bat, bat]],
    ['bat-without-plate', [begin, bat]],
    ['not-enough-sheets', [begin, key, { kind: 'proof', as: 'trial', count: 38 }]],
    [null, [begin, key, { kind: 'sheets', count: 1 }, { kind: 'proof', as: 'trial', count: 38 }]],
    ['number-before-bat', [begin, key, number('edition', [1])]],
    ['number-before-bat', [begin, key, bat, { kind: 'state', plate: 'key', words: 'x' }, number('AP', [1])]],
    ['number-beyond', [begin, key, bat, number('edition', [25])]],
    ['number-beyond', [begin, key, bat, number('HC', [1])]],
    ['number-twice', [...numbered, number('edition', [2, 1])]],
    ['number-twice', [begin, key, bat, number('edition', [2, 2])]],
    [null, [...numbered, number('AP', [1])]],
    ['no-such-plate', [begin, key, bat, number('edition', [1], ['kye'])]],
    [
      'which-duplicate',
      [begin, key, plate('second', 'a', { duplicateOf: 'key' }), bat, number('edition', [1])],
    ],
    [
      null,
      [begin, key, plate('second', 'a', { duplicateOf: 'key' }), bat, number('edition', [1], ['second'])],
    ],
    [
      'two-of-one-plate',
      [
        begin,
        key,
        plate('second', 'a', { duplicateOf: 'key' }),
        bat,
        number('edition', [1], ['key', 'second']),
      ],
    ],
    [
      'two-of-one-plate',
      [
        begin,
        key,
        plate('second', 'a', { duplicateOf: 'key' }),
        plate('third', 'a', { duplicateOf: 'key' }),
        bat,
        number('edition', [1], ['second', 'third']),
      ],
    ],
    ['two-of-one-plate', [begin, key, bat, number('edition', [1], ['key', 'key'])]],
    [null, [begin, key, plate('tint', 'b'), bat, number('edition', [1], ['key', 'tint'])]],
    ['count-of-numbers', [...numbered, { kind: 'spoil', count: 2, as: 'edition', numbers: [1] }]],
    ['number-not-given', [...numbered, { kind: 'spoil', count: 1, as: 'edition', numbers: [2] }]],
    ['not-enough-sheets', [begin, key, { kind: 'spoil', count: 38 }]],
    ['sums-not-closed', [...whole.slice(0, -2), close]],
    ['numbers-missing', [begin, key, bat, { kind: 'spoil', count: 36 }, close]],
    ['closed', [...whole, { kind: 'sheets', count: 1 }]],
    ['closed', [...whole, number('HC', [1])]],
    ['cancel-before-close', [begin, key, { kind: 'cancel', plate: 'key', words: 'cross' }]],
    ['cancel-before-close', [begin, key, { kind: 'proof', as: 'cancellation' }]],
    ['no-cancelled-plate', [...whole, { kind: 'proof', as: 'cancellation' }]],
    ['cannot-correct', [begin, key, { kind: 'correct', about: 'e00000000001', words: 'x' }]],
    ['cannot-correct', [begin, key, { kind: 'correct', about: 'e00000000009', words: 'x' }]],
  ])('%s', (code, drafts) => {
    expect(broken(...drafts)).toBe(code);
  });

  test('a number that was destroyed is never given again', () => {
    const gone: LedgerDraft = { kind: 'spoil', count: 1, as: 'edition', numbers: [1] };
    expect(broken(...numbered, gone, number('edition', [1]))).toBe('number-twice');
    expect(broken(...numbered, gone, gone)).toBe('destroyed-twice');
  });

  test('a plate is cancelled once, then a cancellation proof may follow', () => {
    const cancel: LedgerDraft = { kind: 'cancel', plate: 'key', words: 'cross' };
    expect(broken(...whole, cancel, { kind: 'proof', as: 'cancellation' })).toBeNull();
    expect(broken(...whole, cancel, cancel)).toBe('cancelled-twice');
    expect(broken(...whole, { ...cancel, plate: 'kye' })).toBe('no-such-plate');
  });

  test('an edition does not close on fewer good impressions than prints', () => {
    const pull = (spoiled: number): LedgerDraft => ({ kind: 'pull', plate: 'key', count: 37, spoiled });
    const rest = [...all, archive, spoilt, close];
    expect(broken(begin, key, pull(6), bat, ...rest)).toBeNull();
    expect(broken(begin, key, pull(7), bat, ...rest)).toBe('impressions-missing');
  });
});

describe('corrections', () => {
  const wrong = number('edition', [5]);
  test('take an entry back and leave it standing', () => {
    const entries = entriesOf(begin, key, bat, wrong, {
      kind: 'correct',
      about: 'e00000000004',
      words: 'it was 6',
    });
    const read = readLedger([...entries]);
    expect(read.ledger.numbers.edition.size).toBe(0);
    expect(editionFacts(read)!.entries[3]).toMatchObject({
      what: 'numbered edition 5',
      void: 'taken back: it was 6',
    });
    expect(
      broken(begin, key, bat, wrong, { kind: 'correct', about: 'e00000000004', words: 'x' }, wrong),
    ).toBeNull();
  });

  test('are refused where a later entry stands on it, or a second time', () => {
    const about = (id: number): LedgerDraft => ({ kind: 'correct', about: `e0000000000${id}`, words: 'x' });
    expect(broken(begin, key, bat, wrong, about(3))).toBe('correction-breaks');
    expect(broken(begin, key, bat, wrong, about(4), about(4))).toBe('corrected-twice');
  });
});

const anyDraft: fc.Arbitrary<LedgerDraft> = fc.oneof(
  fc.constantFrom<LedgerDraft>(
    key,
    plate('second', 'a', { duplicateOf: 'key' }),
    plate('tint', 'b'),
    bat,
    archive,
    close,
  ),
  fc.record({ kind: fc.constant('spoil' as const), count: fc.integer({ min: 1, max: 9 }) }),
  fc.record({ kind: fc.constant('sheets' as const), count: fc.integer({ min: 1, max: 9 }) }),
  fc.record({
    kind: fc.constant('number' as const),
    as: fc.constantFrom('edition' as const, 'AP' as const, 'HC' as const),
    numbers: fc.array(fc.integer({ min: 1, max: 26 }), { minLength: 1, maxLength: 9 }),
    from: fc.subarray(['key', 'second']),
  }),
  fc.record({
    kind: fc.constant('correct' as const),
    about: fc.integer({ min: 1, max: 20 }).map((id) => `e${String(id).padStart(11, '0')}`),
    words: fc.constant('x'),
  }),
);

test('whatever is entered, no sheet is used twice, no number given twice, and nothing before the BAT', () => {
  fc.assert(
    fc.property(fc.array(anyDraft, { maxLength: 25 }), (drafts) => {
      const { ledger, refused, entries } = readLedger(entriesOf(begin, ...drafts));
      expect(sheetsInHand(ledger)).toBeGreaterThanOrEqual(0);
      for (const [mark, most] of [
        ['edition', 24],
        ['AP', 3],
        ['HC', 0],
      ] as const) {
        const given = [...ledger.numbers[mark].keys()];
        expect(given.every((one) => one >= 1 && one <= most)).toBe(true);
      }
      if (ledger.closed) expect(sheetsInHand(ledger)).toBe(0);
      if (ledger.numbers.edition.size > 0) expect(ledger.approved).not.toBeNull();
      // reading only what stood gives the same edition: refused entries leave no trace
      const stood = readLedger(entries.filter(({ id }) => !refused.has(id)));
      expect(stood.refused.size).toBe(0);
      expect(stood.ledger).toEqual(ledger);
    }),
    { seed: 4, numRuns: 200 },
  );
});

test('start sheets: 31 wanted, three pulls, 5 % loss make 37; 12 + 3 of four stages by 4 % make 18', () => {
  // ⌈(N + proofs)/(1 − s)ⁿ⌉ worked out by hand: 31/0.857375 = 36.16; 15/0.84934656 = 17.66
  expect(startSheets(31, 3, 0.05)).toBe(37);
  expect(startSheets(15, 4, 0.04)).toBe(18);
  expect(startSheets(24, 5, 0)).toBe(24);
  expect(() => startSheets(1, 0, 0.1)).toThrow(RangeError);
  expect(() => startSheets(1, 1, 1)).toThrow(RangeError);
});

test('ranges', () => {
  expect(ranges([3, 1, 2, 7, 9, 8])).toBe('1–3, 7–9');
  expect(ranges([])).toBe('');
});
