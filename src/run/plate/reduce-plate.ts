import { closeSync, fstatSync, openSync, readSync } from 'node:fs';
import { strideFor } from '../../core/bitmap.ts';
import { type PackedRows, type PlaneSize, resized, resizedBits } from '../../core/proof/box.ts';
import type { ShareRows } from '../../core/proof/rows.ts';
import { encodeSrgb } from '../../core/srgb.ts';
import type { LocatedPlate, ReadAt } from '../../io/formats/contract.ts';
import { type FormatKind, formats } from '../../io/formats/index.ts';
import { openWorkspace } from '../../io/formats/workspace.ts';
import { toneStoreOf } from '../formats.ts';

/** A plate file on the disk, and how its print is seen in it. */
export interface StoredPlate {
  readonly path: string;
  readonly kind: FormatKind;
  readonly draws: 'bits' | 'tone';
  readonly fire: 'dark' | 'light';
  readonly mirrored: boolean;
  /** True where what is etched prints. */
  readonly inksEtched: boolean;
}

/** A small grey picture, 0 = black … 255 = white, in rows. */
export interface SmallPicture extends PlaneSize {
  readonly greys: Uint8Array;
}

/** Codes of light shares, in steps finer than a code. */
const STEPS = 1024;
const CODES = Uint8Array.from({ length: STEPS + 1 }, (_, i) => Math.round(255 * encodeSrgb(i / STEPS)));

const packedBand = openWorkspace();

const readInto = (fd: number, into: Uint8Array, offset: number): Uint8Array =>
  into.subarray(0, readSync(fd, into, 0, into.length, offset));

/** Stored rows from the top down; a band is decoded when its first row is asked for. */
function storedRows(
  readAt: ReadAt,
  store: { decodeBand: typeof formats.png.decodeBand },
  located: LocatedPlate,
  bytesPerRow: number,
): PackedRows {
  let data: Uint8Array = new Uint8Array();
  let first = 0;
  let end = 0;
  return {
    get data() {
      return data;
    },
    at(y) {
      if (y < first || y >= end) {
        const band = located.bands.find(({ firstRow, rows }) => y >= firstRow && y < firstRow + rows)!;
        data = store.decodeBand(readAt(band.offset, band.bytes), located, band);
        first = band.firstRow;
        end = first + band.rows;
      }
      return (y - first) * bytesPerRow;
    },
  };
}

/** Shares of white in rows of tone. */
const whiteOfTone =
  (rows: PackedRows, oneIsWhite: boolean): ShareRows =>
  (y, into) => {
    const at = rows.at(y);
    layWhite(rows.data, at, oneIsWhite ? 0 : 0xff, into);
  };

function layWhite(data: Uint8Array, at: number, turned: 0 | 0xff, into: Float32Array): void {
  for (let x = 0; x < into.length; x++) into[x] = (data[at + x]! ^ turned) / 255;
}

function layGreys(white: Float32Array, isInk: boolean, greys: Uint8Array, at: number): void {
  for (let x = 0; x < white.length; x++)
    greys[at + x] = CODES[Math.round(STEPS * (isInk ? 1 - white[x]! : white[x]!))]!;
}

/**
 * The print of a stored plate as a small picture: read from the disk in bands, ink dark, the right way round, no wider and no
 * higher than `mostPx`. Throws an Error where the file is not as it was written.
 */
export function reducePlate(plate: StoredPlate, mostPx: number): SmallPicture {
  const fd = openSync(plate.path, 'r');
  try {
    const store = plate.draws === 'tone' ? toneStoreOf(plate.kind) : formats[plate.kind];
    const readAt: ReadAt = (offset, bytes) => readInto(fd, new Uint8Array(bytes), offset);
    const readBand: ReadAt = (offset, bytes) => readInto(fd, packedBand(bytes), offset);
    const located = store.locate(readAt, fstatSync(fd).size);
    const scale = Math.min(1, mostPx / Math.max(located.widthPx, located.heightPx));
    const side = (px: number): number => Math.max(1, Math.round(px * scale));
    const size = { widthPx: side(located.widthPx), heightPx: side(located.heightPx) };
    const { widthPx, oneIsWhite } = located;
    const isTone = plate.draws === 'tone';
    const stored = storedRows(readBand, store, located, isTone ? widthPx : strideFor(widthPx));
    const rows = isTone
      ? resized(whiteOfTone(stored, oneIsWhite), located, size)
      : resizedBits(stored, oneIsWhite ? 0 : 0xff, located, size);
    // what is fired is dark or light; what is fired is etched; what is etched prints, or all the rest
    const whiteIsInk = (plate.fire === 'light') === plate.inksEtched;
    const greys = new Uint8Array(size.widthPx * size.heightPx);
    const row = new Float32Array(size.widthPx);
    for (let y = 0; y < size.heightPx; y++) {
      rows(y, row);
      if (plate.mirrored) row.reverse();
      layGreys(row, whiteIsInk, greys, y * row.length);
    }
    return { ...size, greys };
  } finally {
    closeSync(fd);
  }
}
