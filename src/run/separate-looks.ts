import { join } from 'node:path';
import { setImmediate as nextTurn } from 'node:timers/promises';
import { type Bitmap, createBitmap } from '../core/bitmap.ts';
import type { Proof } from '../core/proof/proof.ts';
import type { FileSet, Slot } from '../io/atomic.ts';
import type { EncodedBand } from '../io/formats/contract.ts';
import {
  encodeProofBand,
  proofBandRows,
  proofBandsIn,
  proofPngBack,
  proofPngFront,
} from '../io/proof-png.ts';
import type { Report } from '../report/schema.ts';
import { hashOfFile } from './plate-file.ts';
import type { Prepared, RunContext } from './prepare.ts';
import { makeSetProof, type ProofRequest, type SetPrinting } from './proof.ts';
import type { Division } from './separate-divide.ts';
import type { SeparateRequest } from './separate-request.ts';

interface SetLook {
  readonly role: 'proof' | 'jobsheet';
  readonly format: 'png' | 'html';
  readonly name: string;
  readonly slot: Slot;
}

/** Files to look at of a set, open under temporary names. */
export interface SetLooks {
  /** One after each printing, the last of them the whole print. */
  readonly proofs: readonly SetLook[];
  readonly sheet: SetLook | null;
  told(look: SetLook): Report['files'][number];
}

const told = ({ role, name, format, slot }: SetLook): Report['files'][number] => ({
  role,
  name,
  format,
  photometric: null,
  packed: null,
  fire: null,
  ...hashOfFile(slot.fd),
  statedDpi: null,
});

/** Opens the proof of each state and of the set, and its job sheet, where they are asked for. */
export async function openLooks(
  { folder, name, looking }: SeparateRequest,
  plates: number,
  set: FileSet,
): Promise<SetLooks> {
  if (folder === null) return { proofs: [], sheet: null, told };
  const add = async (role: SetLook['role'], format: SetLook['format'], file: string): Promise<SetLook> => ({
    role,
    format,
    name: file,
    slot: await set.add(join(folder, file)),
  });
  const proofs: SetLook[] = [];
  for (let state = 1; looking.proof && state <= plates; state++)
    proofs.push(
      await add('proof', 'png', state === plates ? `${name}.proof.png` : `${name}.state-${state}.proof.png`),
    );
  const sheet = looking.jobsheet ? await add('jobsheet', 'html', `${name}.set.html`) : null;
  return { proofs, sheet, told };
}

/** What is etched after all the cuts so far: of one block, each goes on from what the one before has left. */
function cutSoFar(plates: readonly ProofRequest[]): ProofRequest[] {
  const all: ProofRequest[] = [];
  for (const plate of plates) {
    const before = all.at(-1)?.bitmap;
    all.push(before ? { ...plate, bitmap: united(before, plate.bitmap) } : plate);
  }
  return all;
}

function united(one: Bitmap, other: Bitmap): Bitmap {
  const map = createBitmap(one.widthPx, one.heightPx);
  for (let i = 0; i < map.data.length; i++) map.data[i] = one.data[i]! | other.data[i]!;
  return map;
}

async function writeProof(proof: Proof, { slot }: SetLook, signal: AbortSignal): Promise<void> {
  await slot.write([proofPngFront(proof)]);
  const sums: Pick<EncodedBand, 'adler' | 'rawBytes'>[] = [];
  for (let band = 0; band < proofBandsIn(proof.heightPx); band++) {
    const rows = proof.rows(...proofBandRows(band, proof.heightPx));
    const { bytes, adler, rawBytes } = encodeProofBand(rows, proof.widthPx, band);
    sums.push({ adler: adler!, rawBytes: rawBytes! });
    await slot.write([bytes]);
    await nextTurn(undefined, { signal });
  }
  await slot.write([proofPngBack(sums)]);
}

/** Proofs the print after every printing, from the finished bits; gives what the report says of the files. */
export async function writeProofs(
  { looking, method }: SeparateRequest,
  { inks }: Division,
  made: readonly Prepared[],
  { proofs }: SetLooks,
  { signal, progress }: RunContext,
): Promise<Report['files']> {
  if (proofs.length === 0) return [];
  const plates = made.flatMap(({ printed }) => (printed ? [{ ...printed, settings: looking }] : []));
  const states = method?.def.oneBlock ? cutSoFar(plates) : plates;
  const printings = states.map((request, index): SetPrinting => ({ request, ink: inks[index]! }));
  for (const [index, look] of proofs.entries()) {
    progress('drawing', index, proofs.length);
    await writeProof(makeSetProof(printings.slice(0, index + 1), looking), look, signal);
  }
  return proofs.map(told);
}
