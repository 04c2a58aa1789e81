import { strideFor, tailMask } from '../../core/bitmap.ts';
import type { LocatedBand, PlateHead, ReadAt } from './contract.ts';

/** True where the stored bits are the etch bits turned over. */
export const isTurned = (fire: PlateHead['fire'], oneIsWhite: boolean): boolean =>
  (fire === 'dark') === oneIsWhite;

/** Layout of a band in a file: rows of packed bits behind `gapBytes` zeros each, `turned` or as they are. */
interface StoredLayout {
  readonly widthPx: number;
  readonly turned: boolean;
  /** Zeros in front of each row (PNG's filter byte). */
  readonly leadBytes: number;
  /** Zeros behind each row (BMP's padding to four bytes). */
  readonly trailBytes: number;
}

/** Copies etch rows into a file's row layout in one pass; padding bits stay 0 when turned. */
export function storeRows(
  rows: Uint8Array,
  { widthPx, turned, leadBytes, trailBytes }: StoredLayout,
): Uint8Array {
  const stride = strideFor(widthPx);
  const count = rows.length / stride;
  const flip = turned ? 0xff : 0;
  const mask = tailMask(widthPx);
  const stored = new Uint8Array(count * (leadBytes + stride + trailBytes));
  let from = 0;
  let to = 0;
  for (let row = 0; row < count; row++) {
    to += leadBytes;
    for (const end = from + stride; from < end; ) stored[to++] = rows[from++]! ^ flip;
    stored[to - 1] = stored[to - 1]! & mask;
    to += trailBytes;
  }
  return stored;
}

/** Takes rows out of a file's row layout; throws where a byte or bit that must be 0 is not. */
export function unstoreRows(
  stored: Uint8Array,
  layout: Omit<StoredLayout, 'turned'> & { readonly rows: number },
): Uint8Array {
  const stride = strideFor(layout.widthPx);
  const pitch = layout.leadBytes + stride + layout.trailBytes;
  if (stored.length !== layout.rows * pitch)
    throw new Error(
      `a band of ${layout.rows} rows unpacks to ${stored.length} bytes, not ${layout.rows * pitch}`,
    );
  const unused = ~tailMask(layout.widthPx) & 0xff;
  const rows = new Uint8Array(layout.rows * stride);
  for (let row = 0; row < layout.rows; row++) {
    const at = row * pitch + layout.leadBytes;
    let strays = stored[at + stride - 1]! & unused;
    for (let i = row * pitch; i < at; i++) strays |= stored[i]!;
    for (let i = at + stride; i < (row + 1) * pitch; i++) strays |= stored[i]!;
    if (strays !== 0) throw new Error(`row ${row} of a band has something where zeros belong`);
    rows.set(stored.subarray(at, at + stride), row * stride);
  }
  return rows;
}

/** Reads exactly so many bytes, or throws. */
export function readExactly(readAt: ReadAt, offset: number, bytes: number): Uint8Array {
  const found = readAt(offset, bytes);
  if (found.length !== bytes) throw new Error(`the file ends ${bytes - found.length} bytes early`);
  return found;
}

/** A view for numbers that works on a part of a buffer, too. */
export const viewOf = (bytes: Uint8Array): DataView =>
  new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);

export const sameBytes = (one: Uint8Array, other: Uint8Array): boolean =>
  one.length === other.length && one.every((byte, i) => byte === other[i]);

/** Cuts the rows of a plate into bands of `bandRows`, and says where each one lies; throws where they do not fit. */
export function bandsAt(
  heightPx: number,
  bandRows: number,
  places: readonly { readonly offset: number; readonly bytes: number }[],
): LocatedBand[] {
  const bands = bandRows > 0 ? Math.ceil(heightPx / bandRows) : 0;
  if (bands !== places.length || bands === 0)
    throw new Error(`${places.length} bands for ${heightPx} rows in bands of ${bandRows}`);
  return places.map((place, i) => {
    const firstRow = i * bandRows;
    return { ...place, firstRow, rows: Math.min(bandRows, heightPx - firstRow) };
  });
}
