import { readdir } from 'node:fs/promises';
import { basename, join } from 'node:path';
import * as z from 'zod';
import { EtchError, JobError } from '../../core/errors.ts';
import { openFileSet } from '../../io/atomic.ts';
import { linesOf, openLineSink } from '../../io/lines.ts';
import type { Owner } from '../../io/owner.ts';
import { type LedgerDraft, type LedgerEntry, ledgerEntry, ledgerLines } from '../../store/edition/entry.ts';
import { type Read, readLedger } from '../../store/edition/ledger.ts';
import type { Broken } from '../../store/edition/rules.ts';
import { type Fault, openNumbering } from '../../store/read-line.ts';
import { newId } from './record-id.ts';

const WHAT = 'ledger';
const ENDING = '.edition.jsonl';

/** `Night Ferry, Ennerby` → `night-ferry-ennerby.edition.jsonl`. */
export const ledgerFileFor = (title: string): string =>
  `${
    title
      .normalize('NFKD')
      .replace(/\p{M}+/gu, '')
      .toLowerCase()
      .replace(/[^\p{L}\p{N}]+/gu, '-')
      .replace(/^-+|-+$/g, '')
      .slice(0, 60) || 'print'
  }${ENDING}`;

/** The ledger given, or the only one of the working folder. EtchError of kind 'usage' where that is not clear. */
export async function wantedLedger(given: string | undefined): Promise<string> {
  if (given !== undefined) return given;
  const here = (await readdir('.')).filter((name) => name.endsWith(ENDING)).sort();
  if (here.length === 1) return here[0]!;
  throw new EtchError(
    'usage',
    here.length === 0 ? 'no-ledger' : 'which-ledger',
    here.length === 0
      ? 'There is no ledger in this folder'
      : `This folder has ${here.length} ledgers: ${here.join(', ')}`,
    here.length === 0 ? 'Begin one with `etchwright edition begin`.' : 'Say which with --ledger.',
  );
}

export interface OpenLedger extends Read {
  readonly faults: readonly Fault[];
}

/** Reads a ledger. Lines that cannot be read are told; those of a newer version keep it from being written. */
export async function openLedger(path: string): Promise<OpenLedger> {
  const faults: Fault[] = [];
  const entries: LedgerEntry[] = [];
  const numbered = openNumbering(ledgerLines, (fault) => faults.push(fault));
  for await (const lines of linesOf(path, WHAT))
    for (const line of lines) {
      const read = numbered(line);
      if (read) entries.push(read.entry);
    }
  return { ...readLedger(entries), faults };
}

const refusal = ({ code, message, hint }: Broken): EtchError =>
  new EtchError('refused', code, message, `${hint} Nothing was entered.`);

function entryFor(draft: LedgerDraft, at: Date): LedgerEntry {
  try {
    return ledgerEntry(draft, newId(), at.toISOString());
  } catch (error) {
    if (!(error instanceof z.ZodError)) throw error;
    throw new JobError(
      error.issues.map(({ path, message }) => ({
        code: 'bad-entry',
        message: `${draft.kind}, ${path.join('.') || 'as a whole'}: ${message}`,
        hint: 'See `etchwright schema edition` for what may stand there.',
      })),
    );
  }
}

/** Begins a ledger; an existing one is never replaced. */
export async function beginLedger(
  path: string,
  draft: Extract<LedgerDraft, { kind: 'begin' }>,
  at: Date,
  owner: Owner,
): Promise<LedgerEntry> {
  const entry = entryFor(draft, at);
  const set = openFileSet({ owner, overwrite: false, protect: [] });
  try {
    const slot = await set.add(path);
    await slot.write([new TextEncoder().encode(`${JSON.stringify(entry)}\n`)]);
    await set.commit();
    return entry;
  } catch (error) {
    await set.abandon();
    throw error;
  }
}

/**
 * Enters something, if no rule is against it (EtchError of kind 'refused'). Afterwards the ledger is read once more: of two that
 * write at once the first line holds, and the other is told so.
 */
export async function enter(
  path: string,
  draft: LedgerDraft,
  at: Date,
): Promise<{ readonly entry: LedgerEntry; readonly after: OpenLedger }> {
  const before = await openLedger(path);
  const strange = before.faults.find(({ fault }) => fault !== 'torn');
  if (strange)
    throw new EtchError(
      'usage',
      'ledger-not-readable',
      `Reading the ledger ${path}, line ${strange.line}: ${strange.what}`,
      'Nothing can be entered while a line is not understood; use the version that wrote it.',
    );
  const entry = entryFor(draft, at);
  const problem = readLedger([...before.entries, entry]).refused.get(entry.id);
  if (problem) throw refusal(problem);
  const sink = await openLineSink(path);
  try {
    await sink.append(JSON.stringify(entry));
  } finally {
    await sink.close();
  }
  const after = await openLedger(path);
  const lost = after.refused.get(entry.id);
  if (lost)
    throw new EtchError(
      'refused',
      lost.code,
      `Somebody else entered something at the same moment: ${lost.message}`,
      'The entry stands in the ledger but counts for nothing. See `etchwright edition show`.',
    );
  return { entry, after };
}

/** `1-12,15` → 1 … 12, 15; null where it is not so written. */
export function numbersIn(text: string): number[] | null {
  const numbers: number[] = [];
  for (const part of text.split(',')) {
    const [, from, to = from] = /^\s*(\d{1,5})(?:\s*[-–]\s*(\d{1,5}))?\s*$/.exec(part) ?? [];
    if (from === undefined || Number(to) < Number(from)) return null;
    for (let number = Number(from); number <= Number(to!); number++) numbers.push(number);
  }
  return numbers;
}

/** `prints/night-ferry.edition.jsonl` → `night-ferry`. */
export const stemOf = (ledger: string): string => basename(ledger).replace(/(\.edition)?\.jsonl$/, '');

/** Writes a page made of a ledger, `<stem>.<kind>.html`, whole or not at all; gives its path. */
export async function writePage(
  ledger: string,
  kind: string,
  text: string,
  { out, overwrite }: { readonly out: string; readonly overwrite: boolean },
  owner: Owner,
): Promise<string> {
  const path = join(out, `${stemOf(ledger)}.${kind}.html`);
  const set = openFileSet({ owner, overwrite, protect: [ledger] });
  try {
    const slot = await set.add(path);
    await slot.write([new TextEncoder().encode(text)]);
    await set.commit();
    return path;
  } catch (error) {
    await set.abandon();
    throw error;
  }
}
