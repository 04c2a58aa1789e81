/** PNG in colour for pictures that people look at: 8 bit RGB, in sRGB, with its resolution. */

import { deflateRawSync } from 'node:zlib';
import type { RgbRows } from '../core/proof/proof.ts';
import type { EncodedBand } from './formats/contract.ts';
import { openPixelPacker, type PixelPacker } from './formats/pixels/pack.ts';
import { chunk, END, joined, SIGNATURE, uint32s } from './formats/png-parts.ts';
import { pixelsPerMetre } from './formats/resolution.ts';
import { checksumOf, joinedAdler, ZLIB_HEADER, zlibTrailer } from './formats/zlib-bands.ts';

/** Rows in a band: one piece of work. A constant, so that the bytes do not depend on who makes them. */
export const PROOF_BAND_ROWS = 128;

/** What a file says of a picture before its first row. */
export type RgbHead = Omit<RgbRows, 'write'>;

/** Everything in front of the picture data (PNG 11.2.2, 11.3.3.5, 11.3.5.3). */
export function proofPngFront({ widthPx, heightPx, ppi }: RgbHead): Uint8Array {
  const perMetre = pixelsPerMetre(ppi);
  return joined([
    SIGNATURE,
    // 8 bit, colour type 2 (RGB), deflate, adaptive filtering, no interlace
    chunk('IHDR', uint32s(widthPx, heightPx), Uint8Array.of(8, 2, 0, 0, 0)),
    chunk('sRGB', Uint8Array.of(1)), // relative colorimetric: white is the screen's white
    chunk('pHYs', uint32s(perMetre, perMetre), Uint8Array.of(1)),
  ]);
}

/** Bytes in front of each row of a band: its filter (PNG 9.2). */
export const FILTER_BYTES = 1;

/** Bytes of a band's row with its filter. */
const proofRowBytes = (widthPx: number): number => FILTER_BYTES + widthPx * 3;

/**
 * Room for any band of a picture, to be used again and again. Rows go behind their filter byte as they are, type 0: what
 * repeats in a print are whole colours, and differences of bytes hide them.
 */
export const proofBandRoom = (widthPx: number): PixelPacker =>
  openPixelPacker(proofRowBytes(widthPx), PROOF_BAND_ROWS);

/** Makes one band of a picture in `room`, of its own width; gives the part of it that is used. */
export function proofBandOf(
  { widthPx, heightPx, write }: RgbRows,
  band: number,
  room: PixelPacker,
): Uint8Array {
  const rowBytes = proofRowBytes(widthPx);
  const [fromRow, toRow] = proofBandRows(band, heightPx);
  write(fromRow, toRow, room.rows, FILTER_BYTES, rowBytes);
  return room.rows.subarray(0, (toRow - fromRow) * rowBytes);
}

export const proofBandsIn = (heightPx: number): number => Math.ceil(heightPx / PROOF_BAND_ROWS);

/** First row of a band, and the row after its last. */
export const proofBandRows = (band: number, heightPx: number): [fromRow: number, toRow: number] => [
  band * PROOF_BAND_ROWS,
  Math.min((band + 1) * PROOF_BAND_ROWS, heightPx),
];

/** Encodes one band, as `proofBandOf` made it in `room`, by itself; the bands, in order, make one stream. */
export function encodeProofBand(raw: Uint8Array, band: number, room: PixelPacker): EncodedBand {
  const packed = room.pack(raw.length / room.rowBytes);
  const bytes = band === 0 ? chunk('IDAT', ZLIB_HEADER, ...packed) : chunk('IDAT', ...packed);
  return { bytes, ...checksumOf(raw) };
}

/** What closes the stream: an empty last block (RFC 1951, 3.2.4) and the checksum of all bands. */
export function proofPngBack(bands: readonly Pick<EncodedBand, 'adler' | 'rawBytes'>[]): Uint8Array {
  const lastBlock = deflateRawSync(new Uint8Array(0));
  return joined([chunk('IDAT', lastBlock, zlibTrailer(joinedAdler(bands))), END]);
}
