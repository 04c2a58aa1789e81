/** The parts of a PNG that writer and reader must agree on: chunks, the front, where the picture data lie. */

import { crc32 } from 'node:zlib';
import type { ReadAt } from './contract.ts';
import { type DepthBits, readExactly, sameBytes, viewOf } from './rows.ts';

export const SIGNATURE = Uint8Array.of(0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a);
/** Signature, IHDR and pHYs with their lengths, types and checksums. */
const FRONT_BYTES = 8 + 25 + 21;

/** A chunk with its length, type and CRC (PNG 5.3). */
export function chunk(type: string, ...parts: readonly Uint8Array[]): Uint8Array {
  const dataBytes = parts.reduce((sum, part) => sum + part.length, 0);
  const bytes = new Uint8Array(12 + dataBytes);
  const view = viewOf(bytes);
  view.setUint32(0, dataBytes);
  for (let i = 0; i < 4; i++) bytes[4 + i] = type.charCodeAt(i);
  let at = 8;
  for (const part of parts) {
    bytes.set(part, at);
    at += part.length;
  }
  view.setUint32(at, crc32(bytes.subarray(4, at)));
  return bytes;
}

export function uint32s(...values: readonly number[]): Uint8Array {
  const bytes = new Uint8Array(values.length * 4);
  const view = viewOf(bytes);
  for (const [i, value] of values.entries()) view.setUint32(i * 4, value);
  return bytes;
}

export const joined = (pieces: readonly Uint8Array[]): Uint8Array => new Uint8Array(Buffer.concat(pieces));

/** What differs between the fronts of two plates. */
interface PngFields {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly depthBits: DepthBits;
  readonly perMetreX: number;
  readonly perMetreY: number;
}

/** Everything in front of the picture data. IHDR: PNG 11.2.2; pHYs, in pixels a metre: 11.3.5.3. */
export const pngFront = ({ widthPx, heightPx, depthBits, perMetreX, perMetreY }: PngFields): Uint8Array =>
  joined([
    SIGNATURE,
    // colour type 0 (grey), deflate, adaptive filtering, no interlace
    chunk('IHDR', uint32s(widthPx, heightPx), Uint8Array.of(depthBits, 0, 0, 0, 0)),
    chunk('pHYs', uint32s(perMetreX, perMetreY), Uint8Array.of(1)),
  ]);

/** The numbers of a file's front; throws where it is no grey PNG of that depth. */
export function readPngFields(readAt: ReadAt, depthBits: DepthBits): PngFields {
  const found = readExactly(readAt, 0, FRONT_BYTES);
  const view = viewOf(found);
  const fields: PngFields = {
    widthPx: view.getUint32(16),
    heightPx: view.getUint32(20),
    depthBits,
    perMetreX: view.getUint32(41),
    perMetreY: view.getUint32(45),
  };
  if (!sameBytes(found, pngFront(fields)))
    throw new Error(
      `the file does not begin as a grey PNG of ${depthBits} bit${depthBits === 1 ? '' : 's'} a pixel with its resolution`,
    );
  return fields;
}

export const END = chunk('IEND');

/** Where the IDAT chunks lie, from behind the front to IEND, which must close the file. */
export function locateChunks(readAt: ReadAt, fileBytes: number): { offset: number; bytes: number }[] {
  const chunks = [];
  let offset = FRONT_BYTES;
  for (;;) {
    const chunkHead = readExactly(readAt, offset, 8);
    const bytes = 12 + viewOf(chunkHead).getUint32(0);
    const type = String.fromCharCode(...chunkHead.subarray(4));
    if (offset + bytes > fileBytes)
      throw new Error(`chunk "${type}" at byte ${offset} runs past the end of the file`);
    if (type === 'IEND') break;
    if (type !== 'IDAT') throw new Error(`chunk "${type}" at byte ${offset} does not belong in a plate`);
    chunks.push({ offset, bytes });
    offset += bytes;
  }
  if (!sameBytes(readExactly(readAt, offset, fileBytes - offset), END))
    throw new Error('IEND does not close the file');
  return chunks;
}
