/** PNG, W3C Recommendation (second edition) = ISO/IEC 15948: grey, 1 or 8 bit a pixel, one IDAT chunk a band. */

import { crc32 } from 'node:zlib';
import type {
  EncodedBand,
  FormatDef,
  GrowingFile,
  LocatedBand,
  LocatedPlate,
  PlateHead,
  ReadAt,
} from './contract.ts';
import { chunk, END, joined, locateChunks, pngFront, readPngFields, uint32s } from './png-parts.ts';
import { dpiOfPerMetre, pixelsPerMetre } from './resolution.ts';
import {
  bandsAt,
  type DepthBits,
  isTurned,
  plainLayout,
  type RowLayout,
  readExactly,
  sameBytes,
  storeRows,
  unstoreRows,
  viewOf,
} from './rows.ts';
import { openWorkspace } from './workspace.ts';
import {
  checksumOf,
  joinedAdler,
  packBand,
  TRAILER_BYTES,
  unpackBand,
  ZLIB_HEADER,
  zlibTrailer,
} from './zlib-bands.ts';

const unpackedRows = openWorkspace();

/** More than the band of any plate unpacks to; all rows of a large one are more than zlib takes for a limit. */
const MOST_BAND_BYTES = 2 ** 28;

const NOTHING = new Uint8Array(0);

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

/** Grey PNGs of one depth. */
function pngStore(depthBits: DepthBits) {
  /** Rows behind filter type 0, "None" (PNG 9.2): halftones gain nothing from the others. */
  const filtered = (widthPx: number): RowLayout => ({ ...plainLayout(widthPx, depthBits), leadBytes: 1 });
  const storedBytes = (widthPx: number): number => filtered(widthPx).rowBytes + 1;

  function encodeBand(rows: Uint8Array, head: PlateHead, firstRow: number): EncodedBand {
    const layout = filtered(head.widthPx);
    const raw = storeRows(rows, layout, isTurned(head.fire, true), unpackedRows);
    const isLast = firstRow + rows.length / layout.rowBytes >= head.heightPx;
    const packed = packBand(raw, isLast, head.packing);
    return { bytes: chunk('IDAT', firstRow === 0 ? ZLIB_HEADER : NOTHING, packed), ...checksumOf(raw) };
  }

  function grow(head: PlateHead): GrowingFile {
    const { widthPx, heightPx } = head;
    const perMetre = pixelsPerMetre(head.dpi);
    const start = pngFront({ widthPx, heightPx, depthBits, perMetreX: perMetre, perMetreY: perMetre });
    const bands = Math.ceil(heightPx / head.bandRows);
    const sums: Pick<EncodedBand, 'adler' | 'rawBytes'>[] = [];
    return {
      start,
      put({ bytes, adler, rawBytes }) {
        sums.push({ adler: adler!, rawBytes: rawBytes! });
        if (sums.length < bands) return [bytes];
        // the checksum of the whole stream joins the last chunk: longer by four, its CRC carried on over them
        const trailer = zlibTrailer(joinedAdler(sums));
        const view = viewOf(bytes);
        const crc = crc32(trailer, view.getUint32(bytes.length - 4));
        return [
          uint32s(view.getUint32(0) + TRAILER_BYTES),
          bytes.subarray(4, -4),
          joined([trailer, uint32s(crc), END]),
        ];
      },
      front: () => start,
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
    const rowBytes = storedBytes(widthPx);
    const most = Math.min(MOST_BAND_BYTES, heightPx * rowBytes);
    const raw = unpack(readExactly(readAt, first.offset, first.bytes), true, false, most);
    const rows = raw.length / rowBytes;
    if (rows === 0 || !Number.isInteger(rows))
      throw new Error('the first IDAT chunk does not hold whole rows');
    return rows;
  }

  function locate(readAt: ReadAt, fileBytes: number): LocatedPlate {
    const { widthPx, heightPx, perMetreX, perMetreY } = readPngFields(readAt, depthBits);
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

  function decodeBand(bytes: Uint8Array, plate: LocatedPlate, { rows, firstRow }: LocatedBand): Uint8Array {
    const { widthPx, heightPx } = plate;
    const raw = unpack(bytes, firstRow === 0, firstRow + rows === heightPx, rows * storedBytes(widthPx));
    return unstoreRows(raw, filtered(widthPx), rows);
  }

  return { photometric: () => 'BlackIsZero', encodeBand, grow, locate, decodeBand };
}

const bits = pngStore(1);

export const png: FormatDef = {
  kind: 'png',
  summary: 'PNG, grey, 1 bit a pixel; 8 bits without a screen',
  extension: 'png',
  storedDpi: (dpi) => dpiOfPerMetre(pixelsPerMetre(dpi)),
  ...bits,
  assemble(head, bands) {
    const file = bits.grow(head);
    return [file.start, ...bands.flatMap((band) => file.put(band))];
  },
  tone: { ...pngStore(8), packsAs: () => true },
};
