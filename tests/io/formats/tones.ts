/** Small tone plates, written and read back, for the tests of formats. */

import fc from 'fast-check';
import type { LocatedPlate, PlateHead, ToneStore } from '../../../src/io/formats/contract.ts';
import { readerOf } from './plates.ts';

export interface TonePlate {
  readonly head: PlateHead;
  /** A byte a pixel: 0 = nothing etched … 255 = in full. */
  readonly etch: Uint8Array;
}

/** A tone plate from rows of numbers. */
export function toned(rows: readonly (readonly number[])[], head: Partial<PlateHead> = {}): TonePlate {
  const [widthPx, heightPx] = [rows[0]!.length, rows.length];
  return {
    head: {
      widthPx,
      heightPx,
      dpi: 500,
      fire: 'dark',
      packing: 'repeats',
      tiff: 'deflate',
      bandRows: heightPx,
      ...head,
    },
    etch: Uint8Array.from(rows.flat()),
  };
}

export const anyTonePlate: fc.Arbitrary<TonePlate> = fc
  .record({
    widthPx: fc.integer({ min: 1, max: 12 }),
    heightPx: fc.integer({ min: 1, max: 24 }),
    bandRows: fc.integer({ min: 1, max: 9 }),
    fire: fc.constantFrom('dark' as const, 'light' as const),
    tiff: fc.constantFrom('deflate' as const, 'group4' as const),
    dpi: fc.constantFrom(72, 254, 300.5, 499.8, 500, 1270),
  })
  .chain((head) => {
    const row = fc.array(fc.nat(255), { minLength: head.widthPx, maxLength: head.widthPx });
    return fc
      .array(row, { minLength: head.heightPx, maxLength: head.heightPx })
      .map((rows) => toned(rows, head));
  });

/** The whole file; `order` names the bands in the order in which workers happen to make them. */
export function writeTone(
  store: ToneStore,
  { head, etch }: TonePlate,
  order?: readonly number[],
): Uint8Array {
  const bandBytes = head.bandRows * head.widthPx;
  const bands = Math.ceil(etch.length / bandBytes);
  const encoded = new Array(bands);
  for (const i of order ?? Array.from({ length: bands }, (_, band) => band))
    encoded[i] = store.encodeBand(etch.subarray(i * bandBytes, (i + 1) * bandBytes), head, i * head.bandRows);
  const grown = store.grow(head);
  const file = Buffer.concat([grown.start, ...encoded.flatMap((band) => grown.put(band))]);
  file.set(grown.front());
  return file;
}

/** What a file says of itself and the etch it holds, found through the format's own reader. */
export function readTone(
  store: ToneStore,
  file: Uint8Array,
  fire: PlateHead['fire'],
): { located: LocatedPlate; etch: Uint8Array } {
  const located = store.locate(readerOf(file), file.length);
  const pieces = located.bands.map((band) =>
    store.decodeBand(readerOf(file)(band.offset, band.bytes), located, band),
  );
  const etch = Uint8Array.from(Buffer.concat(pieces), (value) => {
    const lightness = located.oneIsWhite ? value : 255 - value;
    return fire === 'light' ? lightness : 255 - lightness;
  });
  return { located, etch };
}

/** Which bytes can be turned over without the reader throwing or reading another plate. */
export function unnoticedToneChanges(store: ToneStore, file: Uint8Array): number[] {
  const before = JSON.stringify(readTone(store, file, 'dark'));
  return Array.from(file.keys()).filter((at) => {
    const changed = Uint8Array.from(file);
    changed[at] = changed[at]! ^ 0xff;
    try {
      return JSON.stringify(readTone(store, changed, 'dark')) === before;
    } catch {
      return false; // told
    }
  });
}
