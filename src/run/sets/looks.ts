import { join } from 'node:path';
import { setImmediate as nextTurn } from 'node:timers/promises';
import type { RgbRows } from '../../core/proof/proof.ts';
import { either } from '../../core/separations/bits.ts';
import type { FileSet, Slot } from '../../io/atomic.ts';
import type { EncodedBand } from '../../io/formats/contract.ts';
import {
  encodeProofBand,
  proofBandOf,
  proofBandRoom,
  proofBandsIn,
  proofPngBack,
  proofPngFront,
} from '../../io/proof-png.ts';
import type { Report } from '../../report/schema.ts';
import { makeSetProof, type ProofRequest, type SetPrinting } from '../looking/proof.ts';
import type { RunContext } from '../plate/context.ts';
import { toldBeside } from '../plate/plate-file.ts';
import type { Prepared } from '../plate/request.ts';
import { laidPrintings } from './cut.ts';
import type { Division } from './division.ts';
import type { JudgedRegister } from './register.ts';
import { makeRegisterMap } from './register-map.ts';
import type { SeparateRequest } from './request.ts';

/** A file of a set that belongs to no single plate, open under its temporary name. */
export interface SetLook {
  readonly role: 'proof' | 'jobsheet' | 'register' | 'bed' | 'jig';
  readonly format: 'png' | 'html' | 'pdf' | 'svg';
  readonly name: string;
  readonly slot: Slot;
}

/** Files to look at of a set, open under temporary names. */
export interface SetLooks {
  /** One after each printing, the last of them the whole print. */
  readonly proofs: readonly SetLook[];
  /** Where paper shows first if a plate lies off. */
  readonly register: SetLook | null;
  readonly sheet: SetLook | null;
}

/** Opens the proof of each state and of the set, its map and its job sheet, where they are asked for. */
export async function openLooks(
  { folder, name, looking, settings }: SeparateRequest,
  plates: number,
  set: FileSet,
): Promise<SetLooks> {
  if (folder === null) return { proofs: [], register: null, sheet: null };
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
  const register = settings.registerMap ? await add('register', 'png', `${name}.register.png`) : null;
  const sheet = looking.jobsheet ? await add('jobsheet', 'html', `${name}.set.html`) : null;
  return { proofs, register, sheet };
}

/** What is etched after all the cuts so far: of one block, each goes on from what the one before has left. */
function cutSoFar(plates: readonly ProofRequest[]): ProofRequest[] {
  const all: ProofRequest[] = [];
  for (const plate of plates) {
    const before = all.at(-1)?.bitmap;
    all.push(before ? { ...plate, bitmap: either(before, plate.bitmap) } : plate);
  }
  return all;
}

async function writeDrawing(proof: RgbRows, { slot }: SetLook, signal: AbortSignal): Promise<void> {
  await slot.write([proofPngFront(proof)]);
  const room = proofBandRoom(proof.widthPx);
  const sums: Pick<EncodedBand, 'adler' | 'rawBytes'>[] = [];
  for (let band = 0; band < proofBandsIn(proof.heightPx); band++) {
    const { bytes, adler, rawBytes } = encodeProofBand(proofBandOf(proof, band, room), band, room);
    sums.push({ adler: adler!, rawBytes: rawBytes! });
    await slot.write([bytes]);
    await nextTurn(undefined, { signal });
  }
  await slot.write([proofPngBack(sums)]);
}

/** Proofs the print after every printing, from the finished bits; gives what the report says of the files. */
export async function writeProofs(
  { looking, method }: SeparateRequest,
  division: Division,
  made: readonly Prepared[],
  { proofs }: SetLooks,
  { signal, progress }: RunContext,
): Promise<Report['files']> {
  if (proofs.length === 0) return [];
  const plates = made.flatMap(({ printed }) => (printed ? [{ ...printed, settings: looking }] : []));
  const states = method?.def.oneBlock ? cutSoFar(plates) : plates;
  const printings = division.cut
    ? laidPrintings(division, made, looking)
    : states.map((request, index): SetPrinting => ({ request, ink: division.inks[index]! }));
  for (const [index, look] of proofs.entries()) {
    progress('drawing', index, proofs.length);
    // what is put together is printed in one go
    const soFar = division.cut ? printings : printings.slice(0, index + 1);
    await writeDrawing(makeSetProof(soFar, looking), look, signal);
  }
  return proofs.map(toldBeside);
}

/** Draws where paper shows if a plate lies off; gives what the report says of the file. */
export async function writeRegisterMap(
  { looking }: SeparateRequest,
  division: Division,
  pitchMm: number,
  register: JudgedRegister | null,
  { register: look }: SetLooks,
  { signal }: RunContext,
): Promise<Report['files']> {
  if (!look || !register) return [];
  await writeDrawing(makeRegisterMap(division, register, pitchMm, looking.proofPpi), look, signal);
  return [toldBeside(look)];
}
