import { strideFor, tailMask } from '../../core/bitmap.ts';
import type { LocatedBand, PlateHead, ReadAt } from './contract.ts';

/** True where what is stored is the etch turned over. */
export const isTurned = (fire: PlateHead['fire'], oneIsWhite: boolean): boolean =>
  (fire === 'dark') === oneIsWhite;

/** Bits of a stored pixel: 1 for marks, 8 for tone. */
export type DepthBits = 1 | 8;

/** How a format lays the rows of a band. */
export interface RowLayout {
  /** Bytes of a row, the pixels alone. */
  readonly rowBytes: number;
  /** Used bits of a row's last byte. */
  readonly lastMask: number;
  /** Zeros in front of each row (PNG's filter byte). */
  readonly leadBytes: number;
  /** Zeros behind each row (BMP's padding to four bytes). */
  readonly trailBytes: number;
  /** The lowest row comes first. */
  readonly bottomUp: boolean;
}

/** Rows one after another, as TIFF and PDF hold them. */
export const plainLayout = (widthPx: number, depthBits: DepthBits = 1): RowLayout => ({
  rowBytes: depthBits === 1 ? strideFor(widthPx) : widthPx,
  lastMask: depthBits === 1 ? tailMask(widthPx) : 0xff,
  leadBytes: 0,
  trailBytes: 0,
  bottomUp: false,
});

/** A copy of etch rows in a format's layout, turned over (of a tone byte: 255 less it) or as they are; padding is 0 either way. `space` gives the room for them. */
export function storeRows(
  rows: Uint8Array,
  layout: RowLayout,
  turned: boolean,
  space = (bytes: number): Uint8Array => new Uint8Array(bytes),
): Uint8Array {
  const { rowBytes, leadBytes, lastMask } = layout;
  const pitch = leadBytes + rowBytes + layout.trailBytes;
  const count = rows.length / rowBytes;
  const stored = space(count * pitch);
  for (let row = 0; row < count; row++) {
    const from = (layout.bottomUp ? count - 1 - row : row) * pitch;
    const at = from + leadBytes;
    stored.fill(0, from, at);
    stored.fill(0, at + rowBytes, from + pitch);
    stored.set(rows.subarray(row * rowBytes, (row + 1) * rowBytes), at);
    if (turned) for (let i = at; i < at + rowBytes; i++) stored[i] = ~stored[i]!;
    stored[at + rowBytes - 1] = stored[at + rowBytes - 1]! & lastMask;
  }
  return stored;
}

/**
 * Takes rows out of a format's layout; throws where a byte or bit that must be 0 is not. Rows that lie top down are
 * moved together where they are, so `stored` is used up; only rows that lie bottom up are copied.
 */
export function unstoreRows(stored: Uint8Array, layout: RowLayout, count: number): Uint8Array {
  const { rowBytes, leadBytes } = layout;
  const pitch = leadBytes + rowBytes + layout.trailBytes;
  if (stored.length !== count * pitch)
    throw new Error(`a band of ${count} rows unpacks to ${stored.length} bytes, not ${count * pitch}`);
  const unused = ~layout.lastMask & 0xff;
  const rows = layout.bottomUp ? new Uint8Array(count * rowBytes) : stored.subarray(0, count * rowBytes);
  for (let row = 0; row < count; row++) {
    const from = (layout.bottomUp ? count - 1 - row : row) * pitch;
    const at = from + leadBytes;
    let strays = stored[at + rowBytes - 1]! & unused;
    for (let i = from; i < at; i++) strays |= stored[i]!;
    for (let i = at + rowBytes; i < from + pitch; i++) strays |= stored[i]!;
    if (strays !== 0) throw new Error(`row ${row} of a band has something where zeros belong`);
    if (layout.bottomUp) rows.set(stored.subarray(at, at + rowBytes), row * rowBytes);
    else if (pitch !== rowBytes) stored.copyWithin(row * rowBytes, at, at + rowBytes);
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
