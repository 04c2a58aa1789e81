/** One zlib stream (RFC 1950) put together from bands that were deflated apart, and taken apart again. */

import { constants, deflateRawSync, inflateRawSync } from 'node:zlib';
import { adler32, combineAdler32 } from './adler32.ts';
import type { EncodedBand, PlateHead } from './contract.ts';
import { viewOf } from './rows.ts';

/** Deflate with a window of 32 KiB, fastest (RFC 1950, section 2.2). */
export const ZLIB_HEADER = Uint8Array.of(0x78, 0x01);
/** The checksum behind the last band. */
export const TRAILER_BYTES = 4;
/** Output is gathered in pieces of this size: a few a band, where zlib's own 16 KiB would make a hundred. */
const PIECE_BYTES = 1 << 18;

// a sync flush ends on a whole byte without ending the stream, so that bands can be laid end to end
const flushFor = (isLast: boolean): number => (isLast ? constants.Z_FINISH : constants.Z_SYNC_FLUSH);

/** Measured: runs alone pack scattered pixels and line art in half the time to the same size; masks that repeat need more. */
export const STRATEGIES: Readonly<Record<PlateHead['packing'], number>> = {
  runs: constants.Z_RLE,
  repeats: constants.Z_DEFAULT_STRATEGY,
};

/** Deflates a band's bytes; the bands of a plate, in order, make one stream. */
export const packBand = (raw: Uint8Array, isLast: boolean, packing: PlateHead['packing']): Uint8Array =>
  deflateRawSync(raw, {
    level: 1,
    strategy: STRATEGIES[packing],
    chunkSize: PIECE_BYTES,
    finishFlush: flushFor(isLast),
  });

/** What `packBand` packed; throws where it would be more than `mostBytes`. */
export const unpackBand = (packed: Uint8Array, isLast: boolean, mostBytes: number): Uint8Array =>
  inflateRawSync(packed, {
    finishFlush: flushFor(isLast),
    // all of it in one piece: the length is known
    chunkSize: mostBytes + 64,
    maxOutputLength: mostBytes,
  });

/** What the assembler must know of the bytes that went into a band. */
export const checksumOf = (raw: Uint8Array): { adler: number; rawBytes: number } => ({
  adler: adler32(raw),
  rawBytes: raw.length,
});

/** Checksum of all bands together, from their own. */
export const joinedAdler = (bands: readonly Pick<EncodedBand, 'adler' | 'rawBytes'>[]): number =>
  bands.reduce((sum, band) => combineAdler32(sum, band.adler!, band.rawBytes!), 1);

/** The bytes that close the stream. */
export function zlibTrailer(adler: number): Uint8Array {
  const bytes = new Uint8Array(TRAILER_BYTES);
  viewOf(bytes).setUint32(0, adler);
  return bytes;
}
