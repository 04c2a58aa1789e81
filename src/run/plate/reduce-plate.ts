import { closeSync, fstatSync, openSync, readSync } from 'node:fs';
import { type PlaneSize, resized } from '../../core/proof/box.ts';
import { encodeSrgb } from '../../core/srgb.ts';
import type { LocatedPlate, ReadAt } from '../../io/formats/contract.ts';
import { type FormatKind, formats } from '../../io/formats/index.ts';
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

/** Shares of white in one stored row. */
type WhiteRow = (stored: Uint8Array, at: number, oneIsWhite: boolean, into: Float32Array) => void;

const whiteOfBits: WhiteRow = (stored, at, oneIsWhite, into) => {
  const turned = oneIsWhite ? 0 : 1;
  for (let x = 0; x < into.length; x++) into[x] = ((stored[at + (x >> 3)]! >> (7 - (x & 7))) & 1) ^ turned;
};

const whiteOfTone: WhiteRow = (stored, at, oneIsWhite, into) => {
  for (let x = 0; x < into.length; x++)
    into[x] = (oneIsWhite ? stored[at + x]! : 255 - stored[at + x]!) / 255;
};

/** Reads rows from the top down; a band is decoded when its first row is asked for. */
function whiteRows(
  readAt: ReadAt,
  store: { decodeBand: typeof formats.png.decodeBand },
  located: LocatedPlate,
  draws: StoredPlate['draws'],
) {
  const { widthPx, oneIsWhite } = located;
  const whiteRow = draws === 'bits' ? whiteOfBits : whiteOfTone;
  const bytesPerRow = draws === 'bits' ? (widthPx + 7) >>> 3 : widthPx;
  let at = -1;
  let rows = new Uint8Array();
  return (y: number, into: Float32Array): void => {
    const band = located.bands.findIndex(
      ({ firstRow, rows: count }) => y >= firstRow && y < firstRow + count,
    );
    const { offset, bytes, firstRow } = located.bands[band]!;
    if (band !== at)
      rows = new Uint8Array(store.decodeBand(readAt(offset, bytes), located, located.bands[band]!));
    at = band;
    whiteRow(rows, (y - firstRow) * bytesPerRow, oneIsWhite, into);
  };
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
    const readAt: ReadAt = (offset, bytes) => {
      const into = new Uint8Array(bytes);
      return into.subarray(0, readSync(fd, into, 0, bytes, offset));
    };
    const located = store.locate(readAt, fstatSync(fd).size);
    const scale = Math.min(1, mostPx / Math.max(located.widthPx, located.heightPx));
    const side = (px: number): number => Math.max(1, Math.round(px * scale));
    const size = { widthPx: side(located.widthPx), heightPx: side(located.heightPx) };
    const rows = resized(whiteRows(readAt, store, located, plate.draws), located, size);
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
