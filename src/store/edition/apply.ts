import type { LedgerEntry } from './entry.ts';
import { type Broken, broken, RULES, type Rule } from './rules.ts';
import type { Ledger } from './state.ts';

/** What may still be entered once an edition is closed. */
const AFTER_CLOSE: readonly string[] = ['cancel', 'correct'];

/** An entry that says what was done; corrections speak of entries. */
export type Deed = Exclude<LedgerEntry, { kind: 'correct' }>;

/** Enters what was done, or gives the rule that it would break, and leaves the ledger as it was. */
export function apply(ledger: Ledger, entry: Deed): Broken | null {
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
