/** BMP with a BITMAPINFOHEADER: 1 bit a pixel, unpacked, black first in the palette, lowest row first. */

import { strideFor } from '../../core/bitmap.ts';
import type {
  EncodedBand,
  FormatDef,
  GrowingFile,
  LocatedBand,
  LocatedPlate,
  PlateHead,
  ReadAt,
} from './contract.ts';
import { refuseOver4GiB } from './limits.ts';
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

/** File header 14, information header 40, two palette entries of 4. */
const FRONT_BYTES = 62;
/** Rows are read back in bands of about this size; the file knows none. */
const BAND_BYTES = 1 << 20;

/** Rows fill whole groups of four bytes. */
const pitchFor = (widthPx: number): number => 4 * Math.ceil(widthPx / 32);

const layoutFor = (widthPx: number): RowLayout => ({
  ...plainLayout(widthPx),
  trailBytes: pitchFor(widthPx) - strideFor(widthPx),
  bottomUp: true,
});

/** Everything in front of the rows (Windows GDI: BITMAPFILEHEADER, BITMAPINFOHEADER, RGBQUAD). */
function front(widthPx: number, heightPx: number, perMetreX: number, perMetreY: number): Uint8Array {
  const bytes = new Uint8Array(FRONT_BYTES);
  const view = viewOf(bytes);
  const dataBytes = pitchFor(widthPx) * heightPx;
  bytes.set([0x42, 0x4d]);
  view.setUint32(2, FRONT_BYTES + dataBytes, true);
  view.setUint32(10, FRONT_BYTES, true); // bfOffBits
  view.setUint32(14, 40, true); // biSize
  view.setInt32(18, widthPx, true);
  view.setInt32(22, heightPx, true); // positive: lowest row first
  view.setUint16(26, 1, true); // biPlanes
  view.setUint16(28, 1, true); // biBitCount
  view.setUint32(30, 0, true); // biCompression: none
  view.setUint32(34, dataBytes, true);
  view.setInt32(38, perMetreX, true);
  view.setInt32(42, perMetreY, true);
  view.setUint32(46, 2, true); // biClrUsed
  view.setUint32(50, 2, true); // biClrImportant
  // blue, green, red and a byte that must be 0: entry 0 is black, entry 1 white
  bytes.set([0, 0, 0, 0, 0xff, 0xff, 0xff, 0], 54);
  return bytes;
}

function encodeBand(rows: Uint8Array, { widthPx, fire }: PlateHead): EncodedBand {
  return { bytes: storeRows(rows, layoutFor(widthPx), isTurned(fire, true)) };
}

/** The length of the file is known before its first band, so bands are written from its end, none of them kept. */
function grow({ widthPx, heightPx, dpi }: PlateHead): GrowingFile {
  let end = FRONT_BYTES + pitchFor(widthPx) * heightPx;
  refuseOver4GiB('BMP', end);
  const perMetre = pixelsPerMetre(dpi);
  const start = front(widthPx, heightPx, perMetre, perMetre);
  return {
    start,
    put: ({ bytes }) => [bytes],
    placeOf: ({ bytes }) => {
      end -= bytes.length;
      return end;
    },
    front: () => start,
  };
}

const assemble = (head: PlateHead, bands: readonly EncodedBand[]): Uint8Array[] => [
  grow(head).start,
  ...bands.map((band) => band.bytes).reverse(),
];

function locate(readAt: ReadAt, fileBytes: number): LocatedPlate {
  const found = readExactly(readAt, 0, FRONT_BYTES);
  const view = viewOf(found);
  const [widthPx, heightPx] = [view.getInt32(18, true), view.getInt32(22, true)];
  const [perMetreX, perMetreY] = [view.getInt32(38, true), view.getInt32(42, true)];
  if (widthPx < 1 || heightPx < 1 || !sameBytes(found, front(widthPx, heightPx, perMetreX, perMetreY)))
    throw new Error('the file does not begin as a black and white BMP');
  const pitch = pitchFor(widthPx);
  const expected = FRONT_BYTES + pitch * heightPx;
  if (fileBytes !== expected) throw new Error(`the file has ${fileBytes} bytes where ${expected} belong`);
  const bandRows = Math.min(heightPx, Math.max(1, Math.floor(BAND_BYTES / pitch)));
  const places = Array.from({ length: Math.ceil(heightPx / bandRows) }, (_, i) => {
    const below = Math.max(0, heightPx - (i + 1) * bandRows);
    return { offset: FRONT_BYTES + below * pitch, bytes: (heightPx - i * bandRows - below) * pitch };
  });
  return {
    widthPx,
    heightPx,
    dpiX: dpiOfPerMetre(perMetreX),
    dpiY: dpiOfPerMetre(perMetreY),
    oneIsWhite: true,
    bands: bandsAt(heightPx, bandRows, places),
  };
}

const decodeBand = (bytes: Uint8Array, { widthPx }: LocatedPlate, { rows }: LocatedBand): Uint8Array =>
  unstoreRows(bytes, layoutFor(widthPx), rows);

export const bmp: FormatDef = {
  kind: 'bmp',
  summary: 'BMP, black and white, unpacked',
  extension: 'bmp',
  photometric: () => 'BlackIsZero',
  storedDpi: (dpi) => dpiOfPerMetre(pixelsPerMetre(dpi)),
  encodeBand,
  assemble,
  grow,
  locate,
  decodeBand,
};
