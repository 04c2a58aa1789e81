/** PNG, W3C Recommendation (second edition) = ISO/IEC 15948: grey, 1 bit a pixel, one IDAT chunk a band. */

import { crc32 } from 'node:zlib';
import { strideFor } from '../../core/bitmap.ts';
import type { EncodedBand, FormatDef, LocatedBand, LocatedPlate, PlateHead, ReadAt } from './contract.ts';
import { dpiOfPerMetre, pixelsPerMetre } from './resolution.ts';
import {
  bandsAt,
  isTurned,
  plainLayout,
  type RowLayout,
  readExactly,
  sameBytes,
  storeRows,
  unstoreRows,
  viewOf,
} from './rows.ts';
import {
  checksumOf,
  joinedAdler,
  packBand,
  TRAILER_BYTES,
  unpackBand,
  ZLIB_HEADER,
  zlibTrailer,
} from './zlib-bands.ts';

const SIGNATURE = Uint8Array.of(0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a);
/** Signature, IHDR and pHYs with their lengths, types and checksums. */
const FRONT_BYTES = 8 + 25 + 21;
const NOTHING = new Uint8Array(0);

/** A chunk with its length, type and CRC (PNG 5.3). */
function chunk(type: string, ...parts: readonly Uint8Array[]): Uint8Array {
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

function uint32s(...values: readonly number[]): Uint8Array {
  const bytes = new Uint8Array(values.length * 4);
  const view = viewOf(bytes);
  for (const [i, value] of values.entries()) view.setUint32(i * 4, value);
  return bytes;
}

const joined = (pieces: readonly Uint8Array[]): Uint8Array => new Uint8Array(Buffer.concat(pieces));

/** Everything in front of the picture data. IHDR: PNG 11.2.2; pHYs, in pixels a metre: 11.3.5.3. */
const front = (widthPx: number, heightPx: number, perMetreX: number, perMetreY: number): Uint8Array =>
  joined([
    SIGNATURE,
    // bit depth 1, colour type 0 (grey), deflate, adaptive filtering, no interlace
    chunk('IHDR', uint32s(widthPx, heightPx), Uint8Array.of(1, 0, 0, 0, 0)),
    chunk('pHYs', uint32s(perMetreX, perMetreY), Uint8Array.of(1)),
  ]);

const END = chunk('IEND');

/** Rows behind filter type 0, "None" (PNG 9.2): halftones gain nothing from the others. */
const filtered = (widthPx: number): RowLayout => ({ ...plainLayout(widthPx), leadBytes: 1 });

function encodeBand(rows: Uint8Array, head: PlateHead, firstRow: number): EncodedBand {
  const { widthPx, heightPx } = head;
  const raw = storeRows(rows, filtered(widthPx), isTurned(head.fire, true));
  const isLast = firstRow + rows.length / strideFor(widthPx) >= heightPx;
  const bytes = chunk('IDAT', firstRow === 0 ? ZLIB_HEADER : NOTHING, packBand(raw, isLast, head.packing));
  return { bytes, ...checksumOf(raw) };
}

function assemble(head: PlateHead, bands: readonly EncodedBand[]): Uint8Array[] {
  const perMetre = pixelsPerMetre(head.dpi);
  const last = bands.at(-1)!.bytes;
  const lastView = viewOf(last);
  const trailer = zlibTrailer(joinedAdler(bands));
  // the checksum of the whole stream joins the last chunk: longer by four, its CRC carried on over them
  const crc = crc32(trailer, lastView.getUint32(last.length - 4));
  return [
    front(head.widthPx, head.heightPx, perMetre, perMetre),
    ...bands.slice(0, -1).map((band) => band.bytes),
    uint32s(lastView.getUint32(0) + TRAILER_BYTES),
    last.subarray(4, -4),
    joined([trailer, uint32s(crc), END]),
  ];
}

/** Where the IDAT chunks lie, from behind the front to IEND, which must close the file. */
function locateChunks(readAt: ReadAt, fileBytes: number): { offset: number; bytes: number }[] {
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

/** The rows of a band as packed data hold them, each behind its filter byte. */
function unpack(bytes: Uint8Array, isFirst: boolean, isLast: boolean, mostBytes: number): Uint8Array {
  const dataEnd = bytes.length - 4;
  if (viewOf(bytes).getUint32(dataEnd) !== crc32(bytes.subarray(4, dataEnd)))
    throw new Error('wrong CRC in an IDAT chunk');
  const packed = bytes.subarray(isFirst ? 10 : 8, isLast ? dataEnd - TRAILER_BYTES : dataEnd);
  if (isFirst && !sameBytes(bytes.subarray(8, 10), ZLIB_HEADER))
    throw new Error('the picture data is no deflate stream');
  return unpackBand(packed, isLast, mostBytes);
}

function locate(readAt: ReadAt, fileBytes: number): LocatedPlate {
  const found = readExactly(readAt, 0, FRONT_BYTES);
  const view = viewOf(found);
  const [widthPx, heightPx] = [view.getUint32(16), view.getUint32(20)];
  const [perMetreX, perMetreY] = [view.getUint32(41), view.getUint32(45)];
  if (!sameBytes(found, front(widthPx, heightPx, perMetreX, perMetreY)))
    throw new Error('the file does not begin as a grey PNG of 1 bit a pixel with its resolution');
  const chunks = locateChunks(readAt, fileBytes);
  return {
    widthPx,
    heightPx,
    dpiX: dpiOfPerMetre(perMetreX),
    dpiY: dpiOfPerMetre(perMetreY),
    oneIsWhite: true,
    bands: bandsAt(heightPx, rowsOfFirst(readAt, chunks, widthPx, heightPx), chunks),
  };
}

/** PNG does not say how many rows an IDAT holds, so the first is unpacked and counted. */
function rowsOfFirst(
  readAt: ReadAt,
  chunks: readonly { offset: number; bytes: number }[],
  widthPx: number,
  heightPx: number,
): number {
  const [first] = chunks;
  if (first === undefined) throw new Error('the file holds no picture data');
  if (chunks.length === 1) return heightPx;
  const rowBytes = strideFor(widthPx) + 1;
  const rows =
    unpack(readExactly(readAt, first.offset, first.bytes), true, false, heightPx * rowBytes).length /
    rowBytes;
  if (rows === 0 || !Number.isInteger(rows)) throw new Error('the first IDAT chunk does not hold whole rows');
  return rows;
}

function decodeBand(bytes: Uint8Array, plate: LocatedPlate, band: LocatedBand): Uint8Array {
  const { widthPx } = plate;
  const { rows, firstRow } = band;
  const raw = unpack(
    bytes,
    firstRow === 0,
    firstRow + rows === plate.heightPx,
    rows * (strideFor(widthPx) + 1),
  );
  return unstoreRows(raw, filtered(widthPx), rows);
}

export const png: FormatDef = {
  kind: 'png',
  summary: 'PNG, grey, 1 bit a pixel',
  extension: 'png',
  photometric: () => 'BlackIsZero',
  storedDpi: (dpi) => dpiOfPerMetre(pixelsPerMetre(dpi)),
  encodeBand,
  assemble,
  locate,
  decodeBand,
};
