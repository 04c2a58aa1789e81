import fc from 'fast-check';
import { expect, test } from 'vitest';
import { apply } from '../../../src/store/edition/apply.ts';
import { type LedgerDraft, type LedgerEntry, ledgerEntry } from '../../../src/store/edition/entry.ts';
import { readLedger } from '../../../src/store/edition/ledger.ts';
import { emptyLedger, type Ledger } from '../../../src/store/edition/state.ts';
import { begin as edition, hash, plate } from './drafts.ts';

const ID = (n: number): string => `e${String(n).padStart(11, '0')}`;

/** The edition that these make from nothing, and the message of the first rule broken. */
function fromNothing(entries: readonly LedgerEntry[]): { ledger: Ledger; message: string | null } {
  const ledger = emptyLedger();
  for (const entry of entries) {
    const problem = entry.kind === 'correct' ? null : apply(ledger, entry);
    if (problem) return { ledger, message: problem.message };
  }
  return { ledger, message: null };
}

/** A ledger read by beginning anew at each entry. */
function slowly(entries: readonly LedgerEntry[]) {
  let kept: LedgerEntry[] = [];
  const corrected = new Map<string, string>();
  const refused = new Map<string, string>();
  for (const entry of entries) {
    if (entry.kind !== 'correct') {
      const { message } = fromNothing([...kept, entry]);
      if (message === null) kept.push(entry);
      else refused.set(entry.id, message);
      continue;
    }
    const target = kept.find(({ id }) => id === entry.about);
    const rest = kept.filter(({ id }) => id !== entry.about);
    const { message } = fromNothing(rest);
    if (corrected.has(entry.about)) refused.set(entry.id, 'That entry was corrected already');
    else if (!target || target.kind === 'begin')
      refused.set(entry.id, 'No entry that can be corrected is called so');
    else if (message !== null)
      refused.set(entry.id, `Without that entry a later one would not stand: ${message}`);
    else {
      kept = rest;
      corrected.set(entry.about, entry.words);
    }
  }
  return { ledger: fromNothing(kept).ledger, corrected, refused };
}

const begin: LedgerDraft = { ...edition, sizes: { edition: 3, AP: 1, PP: 0, HC: 0 }, sheets: 9 };
const plates = ['key', 'second', 'tint'];
const anyPlate = fc.constantFrom(...plates);
const of = <const Kind extends string>(kind: Kind) => ({ kind: fc.constant(kind) });
const few = fc.integer({ min: 1, max: 3 });
const words = fc.constant('x');
const numbers = fc.array(fc.integer({ min: 1, max: 4 }), { minLength: 1, maxLength: 4 });
const marked = fc.constantFrom('edition' as const, 'AP' as const);

const anyDraft: fc.Arbitrary<LedgerDraft> = fc.oneof(
  fc.record({ name: anyPlate, bits: fc.constantFrom('a', 'b') }).map(({ name, bits }) => plate(name, bits)),
  fc.constant<LedgerDraft>({ kind: 'proof', as: 'BAT' }),
  fc.record({ ...of('state'), plate: anyPlate, words, bitsSha256: fc.constant(hash('c')) }),
  fc.record({ ...of('pull'), plate: anyPlate, count: few, spoiled: fc.integer({ min: 0, max: 2 }) }),
  fc.record({
    ...of('proof'),
    as: fc.constantFrom('trial' as const, 'archive' as const, 'cancellation' as const),
    count: few,
  }),
  fc.record({ ...of('sheets'), count: few }),
  fc.record({ ...of('number'), as: marked, numbers, from: fc.subarray(plates, { maxLength: 1 }) }),
  fc.record({ ...of('spoil'), count: few }),
  numbers.chain((those) =>
    fc.record({
      ...of('spoil'),
      count: fc.constant(those.length),
      as: marked,
      numbers: fc.constant(those),
    }),
  ),
  fc.constant<LedgerDraft>({ kind: 'close' }),
  fc.record({ ...of('cancel'), plate: anyPlate, words }),
);
const correction = fc.record({ ...of('correct'), about: fc.integer({ min: 1, max: 25 }).map(ID), words });

/** A ledger whose edition closes, so that what comes after closing is tried too. */
const closing: LedgerDraft[] = [
  begin,
  plate('key'),
  { kind: 'proof', as: 'BAT' },
  { kind: 'number', as: 'edition', numbers: [1, 2, 3] },
  { kind: 'number', as: 'AP', numbers: [1] },
  { kind: 'spoil', count: 2, as: 'edition', numbers: [2, 3] },
  { kind: 'spoil', count: 4 },
  { kind: 'close' },
  { kind: 'cancel', plate: 'key', words: 'cross' },
];

test('reads as one does who begins anew at each entry: the edition, the order in it, what is corrected and refused', () => {
  const told = { closed: 0, corrected: 0, refused: 0, breaks: 0 };
  fc.assert(
    fc.property(
      fc.constantFrom([begin], [], closing, closing.slice(0, 5)),
      fc.array(fc.oneof({ weight: 2, arbitrary: anyDraft }, { weight: 1, arbitrary: correction }), {
        maxLength: 22,
      }),
      // two runs may have made entries of one id
      fc.integer({ min: 5, max: 40 }),
      (first, drafts, ids) => {
        const entries = [...first, ...drafts].map((draft, i) =>
          ledgerEntry(draft, ID(1 + (i % ids)), '2031-05-03T09:00:00.000Z'),
        );
        const read = readLedger(entries);
        const slow = slowly(entries);
        expect(read.ledger).toEqual(slow.ledger);
        expect([...read.ledger.plates.keys()]).toEqual([...slow.ledger.plates.keys()]);
        expect([...read.ledger.numbers.edition.keys()]).toEqual([...slow.ledger.numbers.edition.keys()]);
        expect([...read.corrected]).toEqual([...slow.corrected]);
        const messages = [...read.refused].map(([id, { message }]) => [id, message]);
        expect(messages).toEqual([...slow.refused]);
        if (read.ledger.closed) told.closed++;
        if (read.corrected.size > 0) told.corrected++;
        if (read.refused.size > 0) told.refused++;
        if ([...read.refused.values()].some(({ code }) => code === 'correction-breaks')) told.breaks++;
      },
    ),
    { seed: 7, numRuns: 600 },
  );
  // each of them was tried often enough to mean something
  for (const count of Object.values(told)) expect(count).toBeGreaterThan(20);
});
