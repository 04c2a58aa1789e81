import { type LedgerEntry, NUMBERED, type Numbered, PROOFS } from './entry.ts';
import type { Read } from './ledger.ts';
import { type Ledger, type LedgerNumber, sheetsInHand } from './state.ts';

/** 1, 2, 3, 7 → `1–3, 7`. */
export function ranges(numbers: readonly number[]): string {
  const sorted = [...numbers].sort((a, b) => a - b);
  const parts: [from: number, to: number][] = [];
  for (const number of sorted) {
    const last = parts.at(-1);
    if (last && number === last[1] + 1) last[1] = number;
    else parts.push([number, number]);
  }
  return parts.map(([from, to]) => (from === to ? `${from}` : `${from}–${to}`)).join(', ');
}

const day = (at: string): string => at.slice(0, 10);

const said = (words: string | undefined): string => (words === undefined ? '' : `: ${words}`);

/** What an entry says, in a line. */
export function entryWords(entry: LedgerEntry): string {
  switch (entry.kind) {
    case 'begin':
      return `begun: ${entry.title}, ${NUMBERED.map((mark) => `${mark} ${entry.sizes[mark]}`).join(', ')}, from ${entry.sheets} sheets`;
    case 'plate':
      return `plate ${entry.plate}${entry.duplicateOf === undefined ? '' : `, duplicate of ${entry.duplicateOf}`}`;
    case 'state':
      return `new state of ${entry.plate}: ${entry.words}`;
    case 'sheets':
      return `${entry.count} more sheets${said(entry.words)}`;
    case 'pull':
      return `${entry.count} impressions from ${entry.plate}, ${entry.spoiled} spoiled${said(entry.words)}`;
    case 'proof':
      return `${entry.as}${entry.count === 1 ? '' : ` ×${entry.count}`}${entry.by === undefined ? '' : `, ${entry.as === 'BAT' ? 'accepted ' : ''}by ${entry.by}`}${said(entry.words)}`;
    case 'number':
      return `numbered ${entry.as} ${ranges(entry.numbers)}${entry.from.length > 0 ? ` from ${entry.from.join(', ')}` : ''}`;
    case 'spoil':
      return `spoiled ${entry.as === undefined ? `${entry.count} sheets` : `${entry.as} ${ranges(entry.numbers ?? [])}`}${said(entry.words)}`;
    case 'correct':
      return `taken back: ${entry.about}: ${entry.words}`;
    case 'close':
      return `closed${said(entry.words)}`;
    case 'cancel':
      return `cancelled ${entry.plate}: ${entry.words}`;
  }
}

const printedFrom = (ledger: Ledger, plate: string): string =>
  NUMBERED.flatMap((mark) => {
    const own = [...ledger.numbers[mark].values()].filter(({ from }) => from.includes(plate));
    return own.length === 0 ? [] : [`${mark} ${ranges(own.map(({ number }) => number))}`];
  }).join('; ');

const marksOf = (ledger: Ledger, sizes: Readonly<Record<Numbered, number>>) =>
  NUMBERED.map((mark) => {
    const given: LedgerNumber[] = [...ledger.numbers[mark].values()];
    return {
      mark,
      declared: sizes[mark],
      given: given.length,
      destroyed: given.filter(({ destroyed }) => destroyed).length,
      numbers: ranges(given.map(({ number }) => number)),
    };
  });

/** The edition as people and scripts are told it. Null where the ledger has not begun. */
export function editionFacts({ ledger, entries, corrected, refused }: Read) {
  const { begin } = ledger;
  if (!begin) return null;
  const why = ({ id }: LedgerEntry): string | null =>
    corrected.has(id) ? `taken back: ${corrected.get(id)}` : (refused.get(id)?.message ?? null);
  return {
    title: begin.title,
    artist: begin.artist,
    year: begin.year,
    medium: begin.medium,
    paper: begin.paper ?? null,
    workshop: begin.workshop ?? null,
    otherEditions: begin.otherEditions ?? null,
    posthumous: begin.posthumous,
    marks: marksOf(ledger, begin.sizes),
    proofs: PROOFS.flatMap((kind) => (ledger.proofs[kind] > 0 ? [{ kind, count: ledger.proofs[kind] }] : [])),
    plates: [...ledger.plates.values()].map((plate) => ({
      ...plate,
      printed: printedFrom(ledger, plate.name),
    })),
    sheets: ledger.sheets,
    spoiled: ledger.spoiled,
    inHand: sheetsInHand(ledger),
    approved: ledger.approved && {
      on: day(ledger.approved.at),
      by: ledger.approved.by ?? null,
      words: ledger.approved.words ?? null,
    },
    closedOn: ledger.closed && day(ledger.closed.at),
    entries: entries.map((entry) => ({
      id: entry.id,
      on: day(entry.at),
      what: entryWords(entry),
      void: why(entry),
    })),
  };
}
