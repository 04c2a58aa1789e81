import { strideFor, tailMask } from '../../core/bitmap.ts';
import type { LocatedBand, PlateHead, ReadAt } from './contract.ts';

/** True where the stored bits are the etch bits turned over. */
export const isTurned = (fire: PlateHead['fire'], oneIsWhite: boolean): boolean =>
  (fire === 'dark') === oneIsWhite;

/** How a format lays the packed rows of a band. */
export interface RowLayout {
  readonly widthPx: number;
  /** Zeros in front of each row (PNG's filter byte). */
  readonly leadBytes: number;
  /** Zeros behind each row (BMP's padding to four bytes). */
  readonly trailBytes: number;
  /** The lowest row comes first. */
  readonly bottomUp: boolean;
}

/** Rows one after another, as TIFF and PDF hold them. */
export const plainLayout = (widthPx: number): RowLayout => ({
  widthPx,
  leadBytes: 0,
  trailBytes: 0,
  bottomUp: false,
});

/** A copy of etch rows in a format's layout, turned over or as they are; padding is 0 either way. */
export function storeRows(rows: Uint8Array, layout: RowLayout, turned: boolean): Uint8Array {
  const stride = strideFor(layout.widthPx);
  const pitch = layout.leadBytes + stride + layout.trailBytes;
  const count = rows.length / stride;
  const mask = tailMask(layout.widthPx);
  const stored = new Uint8Array(count * pitch);
  for (let row = 0; row < count; row++) {
    const at = (layout.bottomUp ? count - 1 - row : row) * pitch + layout.leadBytes;
    stored.set(rows.subarray(row * stride, (row + 1) * stride), at);
    if (turned) for (let i = at; i < at + stride; i++) stored[i] = ~stored[i]!;
    stored[at + stride - 1] = stored[at + stride - 1]! & mask;
  }
  return stored;
}

/** Takes rows out of a format's layout; throws where a byte or bit that must be 0 is not. */
export function unstoreRows(stored: Uint8Array, layout: RowLayout, count: number): Uint8Array {
  const stride = strideFor(layout.widthPx);
  const pitch = layout.leadBytes + stride + layout.trailBytes;
  if (stored.length !== count * pitch)
    throw new Error(`a band of ${count} rows unpacks to ${stored.length} bytes, not ${count * pitch}`);
  const unused = ~tailMask(layout.widthPx) & 0xff;
  const rows = new Uint8Array(count * stride);
  for (let row = 0; row < count; row++) {
    const from = (layout.bottomUp ? count - 1 - row : row) * pitch;
    const at = from + layout.leadBytes;
    let strays = stored[at + stride - 1]! & unused;
    for (let i = from; i < at; i++) strays |= stored[i]!;
    for (let i = at + stride; i < from + pitch; i++) strays |= stored[i]!;
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
