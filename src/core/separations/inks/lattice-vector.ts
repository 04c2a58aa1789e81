import { openWasm } from '../../wasm/open.ts';
import type { ToneSplit } from '../contract.ts';
import type { LatticePlaces } from './lattice-places.ts';
import { CODES, memoryFor, mixText, PLACE_BYTES } from './lattice-text.ts';

/** Pixels that are mixed in one go. */
const PIXELS = 1024;
/** Behind the last node, whose load takes eight inks. */
const SPARE_BYTES = 16;

type Kernel = { readonly mix: ReturnType<typeof mixText> };

/** The memory for a lattice of so many inks, and what it holds. */
interface Room {
  readonly buffer: ArrayBuffer;
  readonly mix: (...params: number[]) => void;
  /** The lattice in it. */
  table: Uint16Array | null;
}

const kernels = new Map<number, Kernel>();
/** One for each number of inks, as long as nothing else wants its 3 MB: pictures are divided piece by piece. */
const rooms = new Map<number, WeakRef<Room>>();

function openRoom(inks: number, { nodes, cell, part, steps }: LatticePlaces): Room | null {
  const bytesTo = steps.map((step) => 2 * step * inks);
  const kernel = kernels.get(inks) ?? { mix: mixText(inks, PIXELS, bytesTo) };
  kernels.set(inks, kernel);
  const { tableAt } = memoryFor(inks, PIXELS);
  const opened = openWasm(kernel, tableAt + 2 * nodes * inks + SPARE_BYTES);
  if (opened === null) return null;
  const { buffer, run } = opened;
  const places = new Int32Array(buffer, 0, (3 * CODES * PLACE_BYTES) / 4);
  for (let channel = 0, at = 0; channel < 3; channel++)
    for (let code = 0; code < CODES; code++) {
      places[at++] = cell[code]! * bytesTo[channel]! + (channel === 0 ? tableAt : 0);
      places[at++] = part[code]!;
    }
  return { buffer, mix: run.mix, table: null };
}

/** What `openPlainLattice` gives, to the same bits in 0.4 of its time; null where the engine has no such vectors. */
export function openVectorLattice(table: Uint16Array, inks: number, places: LatticePlaces): ToneSplit | null {
  const room = rooms.get(inks)?.deref() ?? openRoom(inks, places);
  if (room === null) return null;
  rooms.set(inks, new WeakRef(room));
  const { buffer, mix } = room;
  const { pixelsAt, tonesAt, tableAt } = memoryFor(inks, PIXELS);
  const pixels = new Uint8Array(buffer, pixelsAt, 3 * PIXELS);
  const mixed = Array.from(
    { length: inks },
    (_, ink) => new Uint16Array(buffer, tonesAt + 2 * PIXELS * ink, PIXELS),
  );
  return (rgb, tones) => {
    // another lattice of as many inks may have been at work
    if (room.table !== table) new Uint16Array(buffer, tableAt, table.length).set(table);
    room.table = table;
    const width = tones[0]!.length;
    for (let from = 0; from < width; from += PIXELS) {
      const count = Math.min(PIXELS, width - from);
      pixels.set(rgb.subarray(3 * from, 3 * (from + count)));
      mix(pixelsAt, pixelsAt + 3 * count, tonesAt);
      for (let ink = 0; ink < inks; ink++)
        tones[ink]!.set(count === PIXELS ? mixed[ink]! : mixed[ink]!.subarray(0, count), from);
    }
  };
}
