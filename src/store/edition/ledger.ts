import { apply, type Deed } from './apply.ts';
import type { LedgerEntry, LedgerOf } from './entry.ts';
import { type Broken, broken } from './rules.ts';
import { emptyLedger, type Ledger } from './state.ts';

/** An edition, and the entries that count for nothing: corrected ones, and such as broke a rule where they stand. */
export interface Read {
  readonly ledger: Ledger;
  readonly entries: readonly LedgerEntry[];
  /** Ids of entries that a later one takes back, and the reason. */
  readonly corrected: ReadonlyMap<string, string>;
  readonly refused: ReadonlyMap<string, Broken>;
}

/** The entries that count, and what they make of the edition. */
interface Standing {
  readonly ledger: Ledger;
  readonly kept: readonly Deed[];
}

/** What entries make of an edition that has not begun, or the first rule broken. */
function standingOf(kept: readonly Deed[]): Standing | Broken {
  const ledger = emptyLedger();
  for (const entry of kept) {
    const problem = apply(ledger, entry);
    if (problem) return problem;
  }
  return { ledger, kept };
}

/** All without one entry, read anew; or why it cannot be taken back. */
function takeBack(
  { kept }: Standing,
  { about }: LedgerOf<'correct'>,
  corrected: ReadonlyMap<string, string>,
): Standing | Broken {
  const target = kept.find(({ id }) => id === about);
  if (corrected.has(about)) return broken('corrected-twice', 'That entry was corrected already', 'Leave it.');
  if (!target || target.kind === 'begin')
    return broken(
      'cannot-correct',
      'No entry that can be corrected is called so',
      'See `edition show` for ids.',
    );
  const rest = standingOf(kept.filter(({ id }) => id !== about));
  if ('kept' in rest) return rest;
  const message = `Without that entry a later one would not stand: ${rest.message}`;
  return broken('correction-breaks', message, 'Correct the later entries first, last to first.');
}

/**
 * Reads a ledger from its first entry to its last. An entry that breaks a rule where it stands is passed over and
 * told, so that of two that were written at once the first holds. A correction is the one entry for which all before it are read anew.
 */
export function readLedger(entries: readonly LedgerEntry[]): Read {
  let ledger = emptyLedger();
  let kept: Deed[] = [];
  const corrected = new Map<string, string>();
  const refused = new Map<string, Broken>();
  for (const entry of entries) {
    if (entry.kind !== 'correct') {
      const problem = apply(ledger, entry);
      if (problem) refused.set(entry.id, problem);
      else kept.push(entry);
      continue;
    }
    const rest = takeBack({ ledger, kept }, entry, corrected);
    if ('kept' in rest) {
      ledger = rest.ledger;
      kept = [...rest.kept];
      corrected.set(entry.about, entry.words);
    } else refused.set(entry.id, rest);
  }
  return { ledger, entries, corrected, refused };
}
