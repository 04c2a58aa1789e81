/** Small plates, written and read back, for the tests of formats. */

import fc from 'fast-check';
import { type Bitmap, createBitmap, getBit, setBit, strideFor } from '../../../src/core/bitmap.ts';
import type { FormatDef, LocatedPlate, PlateHead, ReadAt } from '../../../src/io/formats/contract.ts';

export interface Plate {
  readonly head: PlateHead;
  /** 1 = etch. */
  readonly etch: Bitmap;
}

/** A plate drawn as text: "1" is etched. */
export function drawn(rows: readonly string[], head: Partial<PlateHead> = {}): Plate {
  const etch = createBitmap(rows[0]!.length, rows.length);
  for (const [y, row] of rows.entries())
    for (const [x, mark] of [...row].entries()) setBit(etch, x, y, mark === '1' ? 1 : 0);
  const { widthPx, heightPx } = etch;
  return {
    head: {
      widthPx,
      heightPx,
      dpi: 500,
      fire: 'dark',
      packing: 'runs',
      tiff: 'deflate',
      bandRows: heightPx,
      ...head,
    },
    etch,
  };
}

export const textOf = (map: Bitmap): string[] =>
  Array.from({ length: map.heightPx }, (_, y) =>
    Array.from({ length: map.widthPx }, (_, x) => getBit(map, x, y)).join(''),
  );

/** Widths on both sides of a byte and of a 32-bit word, in several bands, for both fires. */
export const anyPlate: fc.Arbitrary<Plate> = fc
  .record({
    widthPx: fc.constantFrom(1, 7, 8, 9, 10, 33),
    heightPx: fc.integer({ min: 1, max: 24 }),
    bandRows: fc.integer({ min: 1, max: 9 }),
    fire: fc.constantFrom('dark' as const, 'light' as const),
    packing: fc.constantFrom('runs' as const, 'repeats' as const),
    tiff: fc.constantFrom('deflate' as const, 'group4' as const),
    dpi: fc.constantFrom(72, 254, 300, 300.5, 499.8, 500, 1000, 1270),
  })
  .chain((head) =>
    fc
      .array(fc.array(fc.constantFrom('0', '1'), { minLength: head.widthPx, maxLength: head.widthPx }), {
        minLength: head.heightPx,
        maxLength: head.heightPx,
      })
      .map((rows) =>
        drawn(
          rows.map((row) => row.join('')),
          head,
        ),
      ),
  );

/** The whole file; `order` names the bands in the order in which workers happen to take them. */
export async function write(
  format: FormatDef,
  { head, etch }: Plate,
  order?: readonly number[],
): Promise<Uint8Array> {
  const bandBytes = head.bandRows * strideFor(head.widthPx);
  const bands = Math.ceil(etch.data.length / bandBytes);
  const encoded = new Array(bands);
  for (const i of order ?? Array.from({ length: bands }, (_, band) => band))
    encoded[i] = format.encodeBand(
      etch.data.subarray(i * bandBytes, (i + 1) * bandBytes),
      head,
      i * head.bandRows,
    );
  return Buffer.concat(await format.assemble(head, encoded));
}

export const readerOf =
  (file: Uint8Array): ReadAt =>
  (offset, bytes) =>
    file.slice(offset, offset + bytes);

/** What a file says of itself and the etch bits it holds, found through the format's own reader. */
export function read(
  format: FormatDef,
  file: Uint8Array,
  fire: PlateHead['fire'],
): { located: LocatedPlate; etch: Bitmap } {
  const located = format.locate(readerOf(file), file.length);
  const { widthPx, heightPx } = located;
  const etch = createBitmap(widthPx, heightPx);
  for (const band of located.bands) {
    const bytes = readerOf(file)(band.offset, band.bytes);
    const stored = { ...etch, heightPx: band.rows, data: format.decodeBand(bytes, located, band) };
    for (let y = 0; y < band.rows; y++)
      for (let x = 0; x < widthPx; x++) {
        const isWhite = (getBit(stored, x, y) === 1) === located.oneIsWhite;
        setBit(etch, x, band.firstRow + y, isWhite === (fire === 'light') ? 1 : 0);
      }
  }
  return { located, etch };
}

/** Which bytes of [from, to) can be turned over without the reader throwing or reading another plate. */
export function unnoticedChanges(format: FormatDef, file: Uint8Array, from: number, to: number): number[] {
  const before = JSON.stringify(read(format, file, 'dark'));
  const unnoticed = [];
  for (let at = from; at < to; at++) {
    const changed = Uint8Array.from(file);
    changed[at] = changed[at]! ^ 0xff;
    try {
      if (JSON.stringify(read(format, changed, 'dark')) === before) unnoticed.push(at);
    } catch {
      // told
    }
  }
  return unnoticed;
}
