/** Pictures divided into tones, at their own resolution: the work of a thread. */

import type { Light } from '../../core/proof/colour.ts';
import type { AnySeparation, SetInk, TonesWay } from '../../core/separations/contract.ts';
import { separations } from '../../core/separations/index.ts';
import { readExactly, writeExactly } from '../../io/exact.ts';
import type { Scratch } from '../../io/scratch.ts';
import { inSharedMemory } from '../shared.ts';

/** A method by its name, with its settings; plain data. */
export interface NamedMethod {
  readonly kind: string;
  readonly params: Readonly<Record<string, unknown>>;
}

/** A method, the table it has built, the planes of a picture, and a grey scratch of 16 bit for each plate; plain data. */
export interface Splitting {
  readonly method: NamedMethod;
  /** In memory that threads share. */
  readonly table: Uint16Array;
  readonly planes: readonly Scratch[];
  readonly plates: readonly Scratch[];
}

function tonesWay({ kind, params }: NamedMethod): TonesWay {
  // the registry's entries have parameter types of their own; the request has checked them
  const def = (separations as unknown as Record<string, AnySeparation>)[kind]!;
  const way = def.way(params);
  if (way.draws !== 'tones') throw new Error(`${kind} divides into areas, not tones`);
  return way;
}

/** What a method divides rows by; pure, and worth a thread of its own while the picture is decoded. */
export function buildSplit(method: NamedMethod, inks: readonly SetInk[], paper: Light): Uint16Array {
  return inSharedMemory(tonesWay(method).build(inks, paper));
}

/** The first step of the same, where the method has steps; plain data. */
export function beginSplit(method: NamedMethod, inks: readonly SetInk[], paper: Light): unknown {
  return inSharedMemory(tonesWay(method).inParts?.begin(inks, paper));
}

/** A part of what rows are divided by, from what `beginSplit` gave. */
export function splitPart(
  method: NamedMethod,
  inks: readonly SetInk[],
  paper: Light,
  begun: unknown,
  part: number,
): Uint16Array {
  return tonesWay(method).inParts!.part(inks, paper, begun, part);
}

/** So few pixels at a time that all their tones stay in the cache. */
const BLOCK_PX = 1 << 14;

/** Divides the pixels from `from` to `to`, row after row, and writes their tones as greys. */
export function splitPixels({ method, table, planes, plates }: Splitting, from: number, to: number): void {
  const split = tonesWay(method).open(table, plates.length);
  const codes = new Uint8Array(BLOCK_PX);
  const rgb = new Uint8Array(3 * BLOCK_PX);
  const tones = plates.map(() => new Uint16Array(BLOCK_PX));
  const pairs = tones.map(({ buffer }) => new Int32Array(buffer));
  for (let at = from; at < to; at += BLOCK_PX) {
    const count = Math.min(BLOCK_PX, to - at);
    for (const [k, { fd, offsetBytes }] of planes.entries()) {
      readExactly(fd, codes.subarray(0, count), offsetBytes + at);
      interleave(codes, count, rgb, k);
    }
    const rows = count === BLOCK_PX ? tones : tones.map((tone) => tone.subarray(0, count));
    split(rgb, rows);
    for (const [plate, { fd, offsetBytes }] of plates.entries()) {
      turnOver(pairs[plate]!);
      writeExactly(fd, rows[plate]!, offsetBytes + 2 * at);
    }
  }
}

function interleave(codes: Uint8Array, count: number, rgb: Uint8Array, first: number): void {
  for (let x = 0, at = first; x < count; x++, at += 3) rgb[at] = codes[x]!;
}

/** Tones become greys, two at a time: what a tone is short of 65535 are its bits turned over. */
function turnOver(pairs: Int32Array): void {
  for (let x = 0; x < pairs.length; x++) pairs[x] = ~pairs[x]!;
}
