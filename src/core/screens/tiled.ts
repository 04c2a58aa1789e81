import type { ScreenRow } from './contract.ts';

/** How a pattern of `widthPx` × `heightPx` pixels covers the plate: side by side, each row of tiles moved on from the one above. */
export interface Repeat {
  readonly widthPx: number;
  readonly heightPx: number;
  /** Pixel (x, y + heightPx) of the plate is pixel (x + shiftPx, y); 0 … widthPx − 1. */
  readonly shiftPx: number;
}

/** A pattern of any size as the row kernel wants it. */
export interface RepeatedTile extends Repeat {
  /** At least 8. */
  readonly widthPx: number;
  /** Rows of widthPx + 7, the last seven being the first again; each the largest ink tone that stays paper, 0 … 65534. */
  readonly paperTones: Uint16Array;
}

const SPARE_PX = 7;

/** What is left of a value, 0 … by − 1, for values below 0 too. */
export const modulo = (value: number, by: number): number => ((value % by) + by) % by;

/** Place of plate pixel (x, y) in a pattern stored row by row. */
export function indexIn({ widthPx, heightPx, shiftPx }: Repeat, x: number, y: number): number {
  const tiles = Math.floor(y / heightPx);
  return (y - tiles * heightPx) * widthPx + modulo(x + tiles * shiftPx, widthPx);
}

/** Lays limits of tone, stored row by row, out for `openTiled`: narrow ones several times side by side. */
export function layTile(repeat: Repeat, paperTones: Uint16Array): RepeatedTile {
  const { widthPx: periodPx, heightPx, shiftPx } = repeat;
  const widthPx = periodPx * Math.ceil((SPARE_PX + 1) / periodPx);
  const stride = widthPx + SPARE_PX;
  const laid = new Uint16Array(stride * heightPx);
  for (let y = 0; y < heightPx; y++)
    for (let x = 0; x < stride; x++) laid[y * stride + x] = paperTones[y * periodPx + (x % periodPx)]!;
  return { widthPx, heightPx, shiftPx, paperTones: laid };
}

/** Compares every pixel with its place in a pattern of any size, as `openOrdered` does for powers of two; rows do not depend on each other. */
export function openTiled(tile: RepeatedTile, widthPx: number): ScreenRow {
  const { paperTones, widthPx: tilePx, heightPx, shiftPx } = tile;
  const last = tilePx - 1;
  const wholePx = widthPx & ~7;

  return (tone, y, bits, at) => {
    const tiles = Math.floor(y / heightPx);
    // | 0: the engine must see small whole numbers, or it counts in floating point
    const row = ((y - tiles * heightPx) * (tilePx + SPARE_PX)) | 0;
    const end = row + last;
    let m = (row + modulo(tiles * shiftPx, tilePx)) | 0;
    let to = at;
    // as in `openOrdered`; the branch at the tile's end is foreseen and takes less than a mask
    for (let x = 0; x < wholePx; x += 8) {
      bits[to++] =
        (((paperTones[m]! - tone[x]!) >> 31) & 0x80) |
        (((paperTones[m + 1]! - tone[x + 1]!) >> 31) & 0x40) |
        (((paperTones[m + 2]! - tone[x + 2]!) >> 31) & 0x20) |
        (((paperTones[m + 3]! - tone[x + 3]!) >> 31) & 0x10) |
        (((paperTones[m + 4]! - tone[x + 4]!) >> 31) & 0x08) |
        (((paperTones[m + 5]! - tone[x + 5]!) >> 31) & 0x04) |
        (((paperTones[m + 6]! - tone[x + 6]!) >> 31) & 0x02) |
        (((paperTones[m + 7]! - tone[x + 7]!) >> 31) & 0x01);
      m = (m + 8) | 0;
      if (m > end) m = (m - tilePx) | 0;
    }
    if (wholePx === widthPx) return;
    let byte = 0;
    for (let x = wholePx; x < widthPx; x++, m++)
      byte |= ((paperTones[m]! - tone[x]!) >> 31) & (0x80 >> (x & 7));
    bits[to] = byte;
  };
}
