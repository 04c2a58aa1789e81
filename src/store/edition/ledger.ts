import type { LedgerEntry, LedgerOf } from './entry.ts';
import { type Broken, broken, RULES, type Rule } from './rules.ts';
import { emptyLedger, type Ledger } from './state.ts';

/** What may still be entered once an edition is closed. */
const AFTER_CLOSE: readonly string[] = ['cancel', 'correct'];

function apply(ledger: Ledger, entry: Exclude<LedgerEntry, { kind: 'correct' }>): Broken | null {
  if (!ledger.begin && entry.kind !== 'begin')
    return broken('not-begun', 'The edition has not begun', 'Begin it with `begin`.');
  const isLate = ledger.closed && !AFTER_CLOSE.includes(entry.kind);
  if (isLate && !(entry.kind === 'proof' && entry.as === 'cancellation'))
    return broken(
      'closed',
      'The edition is closed',
      'Only its plates can be cancelled, and entries corrected.',
    );
  if (!ledger.closed && entry.kind === 'proof' && entry.as === 'cancellation' && ledger.plates.size > 0)
    return broken('cancel-before-close', 'The edition is open: nothing is cancelled', 'Close it first.');
  const rule = RULES[entry.kind] as Rule<typeof entry.kind>;
  const problem = rule(ledger, entry as never);
  if (problem === null && entry.kind === 'close') ledger.closed = entry;
  return problem;
}

/** An edition, and the entries that count for nothing: corrected ones, and such as broke a rule where they stand. */
export interface Read {
  readonly ledger: Ledger;
  readonly entries: readonly LedgerEntry[];
  /** Ids of entries that a later one takes back, and the reason. */
  readonly corrected: ReadonlyMap<string, string>;
  readonly refused: ReadonlyMap<string, Broken>;
}

function run(entries: readonly LedgerEntry[]): { readonly ledger: Ledger; readonly first: Broken | null } {
  const ledger = emptyLedger();
  for (const entry of entries) {
    if (entry.kind === 'correct') continue;
    const problem = apply(ledger, entry);
    if (problem) return { ledger, first: problem };
  }
  return { ledger, first: null };
}

function takeBack(
  kept: readonly LedgerEntry[],
  { about }: LedgerOf<'correct'>,
  corrected: ReadonlyMap<string, string>,
): { readonly kept: LedgerEntry[] } | { readonly problem: Broken } {
  const target = kept.find(({ id }) => id === about);
  if (corrected.has(about))
    return { problem: broken('corrected-twice', 'That entry was corrected already', 'Leave it.') };
  if (!target || target.kind === 'correct' || target.kind === 'begin')
    return {
      problem: broken(
        'cannot-correct',
        'No entry that can be corrected is called so',
        'See `edition show` for ids.',
      ),
    };
  const rest = kept.filter(({ id }) => id !== about);
  const { first } = run(rest);
  if (!first) return { kept: rest };
  const message = `Without that entry a later one would not stand: ${first.message}`;
  return { problem: broken('correction-breaks', message, 'Correct the later entries first, last to first.') };
}

/**
 * Reads a ledger from its first entry to its last. An entry that breaks a rule where it stands is passed over and
 * told, so that of two that were written at once the first holds.
 */
export function readLedger(entries: readonly LedgerEntry[]): Read {
  let kept: LedgerEntry[] = [];
  const corrected = new Map<string, string>();
  const refused = new Map<string, Broken>();
  for (const entry of entries) {
    if (entry.kind === 'correct') {
      const taken = takeBack(kept, entry, corrected);
      if ('problem' in taken) refused.set(entry.id, taken.problem);
      else {
        kept = taken.kept;
        corrected.set(entry.about, entry.words);
      }
      continue;
    }
    const { first } = run([...kept, entry]);
    if (first) refused.set(entry.id, first);
    else kept.push(entry);
  }
  return { ledger: run(kept).ledger, entries, corrected, refused };
}
