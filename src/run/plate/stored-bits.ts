import { fstatSync, readSync } from 'node:fs';
import { type Bitmap, complementRow, createBitmap, strideFor } from '../../core/bitmap.ts';
import type { ReadAt } from '../../io/formats/contract.ts';
import { type FormatKind, formats } from '../../io/formats/index.ts';

/** The etched bits of a file of ours, and the resolution it states. */
export interface StoredBits {
  readonly bitmap: Bitmap;
  readonly dpiX: number;
  readonly dpiY: number;
}

/**
 * Reads a plate that one of our writers has written, from the disk and by what the file says of itself. Its rows go
 * into `into` where that is given and large enough. Throws an Error that says what is wrong with the file.
 */
export function readStoredBits(
  kind: FormatKind,
  fd: number,
  fire: 'dark' | 'light',
  into?: Uint8Array,
): StoredBits {
  const readAt: ReadAt = (offset, bytes) => {
    const piece = new Uint8Array(bytes);
    return piece.subarray(0, readSync(fd, piece, 0, bytes, offset));
  };
  const format = formats[kind];
  const located = format.locate(readAt, fstatSync(fd).size);
  const { widthPx, heightPx, dpiX, dpiY } = located;
  const strideBytes = strideFor(widthPx);
  const bytes = strideBytes * heightPx;
  const bitmap: Bitmap =
    into && into.length >= bytes
      ? { widthPx, heightPx, strideBytes, data: into.subarray(0, bytes) }
      : createBitmap(widthPx, heightPx);
  const isTurned = located.oneIsWhite === (fire === 'dark');
  for (const band of located.bands) {
    const stored = readAt(band.offset, band.bytes);
    if (stored.length !== band.bytes) throw new Error('the file ends too soon');
    const at = band.firstRow * strideBytes;
    bitmap.data.set(format.decodeBand(stored, located, band).subarray(0, band.rows * strideBytes), at);
    if (isTurned)
      for (let row = 0; row < band.rows; row++) complementRow(bitmap.data, at + row * strideBytes, widthPx);
  }
  return { bitmap, dpiX, dpiY };
}
