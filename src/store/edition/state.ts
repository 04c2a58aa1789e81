import { type LedgerOf, NUMBERED, type Numbered, PROOFS, type Proof } from './entry.ts';

/** A matrix of the edition and what became of it. */
export interface LedgerPlate {
  readonly name: string;
  bitsSha256: string;
  readonly process: string;
  readonly widthMm: number;
  readonly heightMm: number;
  readonly dpi: number;
  readonly material: string | null;
  readonly duplicateOf: string | null;
  state: number;
  impressions: number;
  spoiled: number;
  cancelled: string | null;
}

/** What became of a number. */
export interface LedgerNumber {
  readonly number: number;
  /** The plates it was printed from, where that was said. */
  readonly from: readonly string[];
  destroyed: boolean;
}

/** An edition as its ledger has it. Sheets that nothing is said of yet are in hand. */
export interface Ledger {
  begin: LedgerOf<'begin'> | null;
  readonly plates: Map<string, LedgerPlate>;
  readonly numbers: Record<Numbered, Map<number, LedgerNumber>>;
  readonly proofs: Record<Proof, number>;
  /** Sheets begun with, and added since. */
  sheets: number;
  /** Sheets destroyed that bore no number. */
  spoiled: number;
  /** True from the acceptance of an impression until a plate changes. */
  approved: LedgerOf<'proof'> | null;
  closed: LedgerOf<'close'> | null;
}

export const emptyLedger = (): Ledger => ({
  begin: null,
  plates: new Map(),
  numbers: { edition: new Map(), AP: new Map(), PP: new Map(), HC: new Map() },
  proofs: { trial: 0, working: 0, state: 0, BAT: 0, archive: 0, cancellation: 0 },
  sheets: 0,
  spoiled: 0,
  approved: null,
  closed: null,
});

/** Sheets that have become something, each once. Cancellation proofs are pulled on paper of their own, after closing. */
export function usedSheets({ numbers, proofs, spoiled }: Ledger): number {
  const marked = NUMBERED.reduce((sum, kind) => sum + numbers[kind].size, 0);
  const plain = PROOFS.reduce((sum, kind) => (kind === 'cancellation' ? sum : sum + proofs[kind]), 0);
  return marked + plain + spoiled;
}

export const sheetsInHand = (ledger: Ledger): number => ledger.sheets - usedSheets(ledger);
