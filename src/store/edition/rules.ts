import { type LedgerEntry, type LedgerOf, NUMBERED } from './entry.ts';
import { type Ledger, sheetsInHand } from './state.ts';

/** A rule that an entry would break. */
export interface Broken {
  readonly code: string;
  readonly message: string;
  readonly hint: string;
}

export const broken = (code: string, message: string, hint: string): Broken => ({ code, message, hint });

const hasNumbers = ({ numbers }: Ledger): boolean => NUMBERED.some((kind) => numbers[kind].size > 0);

/** Refuses to take more sheets than there are. */
function tooFew(ledger: Ledger, wanted: number): Broken | null {
  const left = sheetsInHand(ledger);
  if (wanted <= left) return null;
  return broken(
    'not-enough-sheets',
    `${wanted} ${wanted === 1 ? 'sheet is' : 'sheets are'} wanted, and ${left} of ${ledger.sheets} ${left === 1 ? 'is' : 'are'} left`,
    'Correct an earlier entry, or note further sheets with `sheets`.',
  );
}

function unknownPlate({ plates }: Ledger, name: string): Broken | null {
  if (plates.has(name)) return null;
  return broken(
    'no-such-plate',
    `The edition has no plate "${name}"`,
    plates.size > 0 ? `It has ${[...plates.keys()].join(', ')}.` : 'Enter it first, with `plate`.',
  );
}

/** True for a plate named twice, and for two that print the same: a plate and its duplicate, or two duplicates of one. */
function isTwin({ plates }: Ledger, name: string, other: string): boolean {
  const first = (one: string): string => plates.get(one)?.duplicateOf ?? one;
  return first(name) === first(other);
}

export type Rule<Kind extends LedgerEntry['kind']> = (ledger: Ledger, entry: LedgerOf<Kind>) => Broken | null;

/** What each kind of entry does to a ledger, or the rule it breaks; a broken rule leaves the ledger as it was. */
export const RULES: { readonly [Kind in Exclude<LedgerEntry['kind'], 'correct'>]: Rule<Kind> } = {
  begin(ledger, entry) {
    if (ledger.begin)
      return broken('begun-twice', 'The edition has begun already', 'Keep one ledger a print.');
    ledger.begin = entry;
    ledger.sheets = entry.sheets;
    return null;
  },
  plate(ledger, { plate, bitsSha256, duplicateOf = null, ...entry }) {
    if (ledger.plates.has(plate))
      return broken(
        'plate-twice',
        `There is a plate "${plate}" already`,
        'Give each matrix a name of its own.',
      );
    const twin = [...ledger.plates.values()].find((one) => one.bitsSha256 === bitsSha256);
    if (duplicateOf !== null) {
      const missing = unknownPlate(ledger, duplicateOf);
      if (missing) return missing;
      if (ledger.plates.get(duplicateOf)!.bitsSha256 !== bitsSha256)
        return broken(
          'no-duplicate',
          `"${plate}" is no duplicate of "${duplicateOf}": its bits are others`,
          'Enter it as a plate of its own, or make it again from the same report.',
        );
    } else if (twin)
      return broken(
        'undeclared-duplicate',
        `"${plate}" has the same bits as "${twin.name}"`,
        `Duplicates must be declared: say --duplicate-of ${twin.name}.`,
      );
    if (hasNumbers(ledger) && duplicateOf === null)
      return broken(
        'plate-after-numbering',
        `"${plate}" comes after impressions were numbered`,
        'A print with another plate is another edition: begin a ledger for it.',
      );
    const { process, widthMm, heightMm, dpi, material } = entry;
    const facts = { process, widthMm, heightMm, dpi, material };
    const fresh = { state: 1, impressions: 0, spoiled: 0, cancelled: null };
    ledger.plates.set(plate, { name: plate, bitsSha256, ...facts, duplicateOf, ...fresh });
    return null;
  },
  state(ledger, { plate, bitsSha256 }) {
    const missing = unknownPlate(ledger, plate);
    if (missing) return missing;
    if (hasNumbers(ledger))
      return broken(
        'state-after-numbering',
        `"${plate}" cannot change state: impressions of this one are numbered`,
        'Close this edition; a changed plate prints another.',
      );
    const own = ledger.plates.get(plate)!;
    own.state++;
    if (bitsSha256 !== undefined) own.bitsSha256 = bitsSha256;
    // what was accepted was printed from a plate that is no more
    ledger.approved = null;
    return null;
  },
  sheets(ledger, { count }) {
    ledger.sheets += count;
    return null;
  },
  pull(ledger, { plate, count, spoiled }) {
    const missing = unknownPlate(ledger, plate);
    if (missing) return missing;
    if (spoiled > count)
      return broken(
        'spoiled-more',
        `${spoiled} of ${count} impressions cannot be spoiled`,
        'Correct the figures.',
      );
    const own = ledger.plates.get(plate)!;
    own.impressions += count;
    own.spoiled += spoiled;
    return null;
  },
  proof(ledger, entry) {
    const { as, count } = entry;
    if (as === 'cancellation') return cancellationProof(ledger, count);
    if (as === 'BAT') {
      if (count !== 1) return broken('one-bat', 'One impression is the BAT', 'Leave --count out.');
      if (ledger.approved)
        return broken(
          'bat-twice',
          'A BAT was accepted already',
          'Correct that entry first, with the reason.',
        );
      if (ledger.plates.size === 0)
        return broken(
          'bat-without-plate',
          'No plate is entered that the BAT was printed from',
          'Enter it with `plate`.',
        );
    }
    const few = tooFew(ledger, count);
    if (few) return few;
    ledger.proofs[as] += count;
    if (as === 'BAT') ledger.approved = entry;
    return null;
  },
  number(ledger, { as, numbers, from }) {
    const { begin, approved, plates } = ledger;
    if (!approved)
      return broken(
        'number-before-bat',
        `${as} cannot be numbered: no BAT of the plates as they are is accepted`,
        'Enter it with `proof BAT`.',
      );
    const most = begin!.sizes[as];
    const named = new Set<number>();
    for (const number of numbers) {
      if (number > most)
        return broken('number-beyond', `${as} ${number} is beyond ${most}`, `${as}: ${most} are declared.`);
      if (ledger.numbers[as].has(number) || named.has(number))
        return broken(
          'number-twice',
          `${as} ${number} is given already${ledger.numbers[as].get(number)?.destroyed ? ', and was destroyed' : ''}`,
          'A number is never given twice, whatever became of the first.',
        );
      named.add(number);
    }
    for (const name of from) {
      const missing = unknownPlate(ledger, name);
      if (missing) return missing;
    }
    const unclear = [...plates.values()].find(
      ({ name, duplicateOf }) =>
        duplicateOf !== null &&
        !from.includes(name) &&
        !from.includes(duplicateOf) &&
        !from.some((one) => plates.get(one)?.duplicateOf === duplicateOf),
    );
    if (unclear)
      return broken(
        'which-duplicate',
        `It is not said whether "${unclear.duplicateOf}" or a duplicate of it printed them`,
        `Say it with --from ${unclear.duplicateOf} or --from ${unclear.name}.`,
      );
    const both = from.find((name, i) => from.some((other, k) => k < i && isTwin(ledger, name, other)));
    if (both !== undefined)
      return broken(
        'two-of-one-plate',
        `"${both}" and another of the same bits are both named, and one of them printed each impression`,
        'Number apart what each of them printed.',
      );
    const few = tooFew(ledger, numbers.length);
    if (few) return few;
    for (const number of numbers) ledger.numbers[as].set(number, { number, from, destroyed: false });
    return null;
  },
  spoil(ledger, { count, as, numbers }) {
    if (as === undefined || numbers === undefined) {
      const few = tooFew(ledger, count);
      if (few) return few;
      ledger.spoiled += count;
      return null;
    }
    if (numbers.length !== count)
      return broken(
        'count-of-numbers',
        `${count} are spoiled and ${numbers.length} numbers given`,
        'Let them agree.',
      );
    const missing = numbers.find((number) => !ledger.numbers[as].has(number));
    if (missing !== undefined)
      return broken(
        'number-not-given',
        `${as} ${missing} was never given`,
        'Sheets without a number are spoiled by their count, such as `spoil 2`.',
      );
    const gone = numbers.find((number) => ledger.numbers[as].get(number)!.destroyed);
    if (gone !== undefined)
      return broken('destroyed-twice', `${as} ${gone} was destroyed already`, 'Leave it out.');
    for (const number of numbers) ledger.numbers[as].get(number)!.destroyed = true;
    return null;
  },
  close(ledger) {
    const left = sheetsInHand(ledger);
    if (left !== 0)
      return broken(
        'sums-not-closed',
        `${left} of ${ledger.sheets} sheets are not accounted for`,
        'Number, prove or spoil them; the sums must close.',
      );
    for (const kind of NUMBERED) {
      const most = ledger.begin!.sizes[kind];
      const given = ledger.numbers[kind].size;
      if (given < most)
        return broken(
          'numbers-missing',
          `${given} of ${most} ${kind} are numbered`,
          'Number the others, also those that were spoiled after they were numbered.',
        );
    }
    return tooFewImpressions(ledger);
  },
  cancel(ledger, { plate, words }) {
    const missing = unknownPlate(ledger, plate);
    if (missing) return missing;
    if (!ledger.closed)
      return broken(
        'cancel-before-close',
        `"${plate}" cannot be cancelled: the edition is open`,
        'Close it first.',
      );
    const own = ledger.plates.get(plate)!;
    if (own.cancelled !== null)
      return broken('cancelled-twice', `"${plate}" is cancelled already`, 'Leave it.');
    own.cancelled = words;
    return null;
  },
};

/** Where impressions are entered, a plate and its duplicates must have given as many good ones as the prints need. */
function tooFewImpressions({ plates, numbers, proofs }: Ledger): Broken | null {
  const prints = NUMBERED.reduce((sum, kind) => sum + numbers[kind].size, 0) + proofs.BAT + proofs.archive;
  for (const { name, duplicateOf } of plates.values()) {
    if (duplicateOf !== null) continue;
    const own = [...plates.values()].filter((one) => one.name === name || one.duplicateOf === name);
    const pulled = own.reduce((sum, one) => sum + one.impressions, 0);
    const good = own.reduce((sum, one) => sum + one.impressions - one.spoiled, 0);
    if (pulled > 0 && good < prints)
      return broken(
        'impressions-missing',
        `"${name}" gave ${good} good impressions, and ${prints} prints have one`,
        'Enter the pulls that are missing, or correct the figures.',
      );
  }
  return null;
}

function cancellationProof(ledger: Ledger, count: number): Broken | null {
  if (![...ledger.plates.values()].some(({ cancelled }) => cancelled !== null))
    return broken('no-cancelled-plate', 'No plate is cancelled yet', 'Cancel it first, with `cancel`.');
  ledger.proofs.cancellation += count;
  return null;
}
