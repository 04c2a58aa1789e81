import { type Bitmap, countBits, createBitmap, tailMask } from '../bitmap.ts';
import type { Labels } from './contract.ts';

/** Pixels whose label is in the table, as a bitmap; `wanted` has 0 or 1 for each label. */
export function bitsOf({ widthPx, heightPx, data }: Labels, wanted: Uint8Array): Bitmap {
  const map = createBitmap(widthPx, heightPx);
  const bits = map.data;
  const whole = widthPx >> 3;
  for (let y = 0, at = 0; y < heightPx; y++) {
    let to = y * map.strideBytes;
    for (let i = 0; i < whole; i++, at += 8)
      bits[to++] =
        (wanted[data[at]!]! << 7) |
        (wanted[data[at + 1]!]! << 6) |
        (wanted[data[at + 2]!]! << 5) |
        (wanted[data[at + 3]!]! << 4) |
        (wanted[data[at + 4]!]! << 3) |
        (wanted[data[at + 5]!]! << 2) |
        (wanted[data[at + 6]!]! << 1) |
        wanted[data[at + 7]!]!;
    for (let x = whole << 3; x < widthPx; x++, at++)
      bits[to] = bits[to]! | (wanted[data[at]!]! << (7 - (x & 7)));
  }
  return map;
}

/** Table for `bitsOf` of the labels from `from` to `to`. */
export const labelRange = (from: number, to: number): Uint8Array =>
  Uint8Array.from({ length: 256 }, (_, label) => (label >= from && label <= to ? 1 : 0));

/** The last of several bitmaps that has a pixel decides its label, as the last ink printed is the one seen. */
export function labelsOf(maps: readonly Bitmap[]): Labels {
  const { widthPx, heightPx } = maps[0]!;
  const data = new Uint8Array(widthPx * heightPx);
  for (const [index, { data: bits, strideBytes }] of maps.entries()) {
    let at = 0;
    for (let y = 0; y < heightPx; y++) {
      const row = y * strideBytes;
      for (let x = 0; x < widthPx; x++, at++)
        if (bits[row + (x >> 3)]! & (0x80 >> (x & 7))) data[at] = index + 1;
    }
  }
  return { widthPx, heightPx, data };
}

const joined = (one: Bitmap, other: Bitmap, join: (a: number, b: number) => number): Bitmap => {
  const map = createBitmap(one.widthPx, one.heightPx);
  for (let i = 0; i < map.data.length; i++) map.data[i] = join(one.data[i]!, other.data[i]!);
  return map;
};

/** What lies in both bitmaps, which are of one size. */
export const both = (one: Bitmap, other: Bitmap): Bitmap => joined(one, other, (a, b) => a & b);
/** What lies in one bitmap or the other, which are of one size. */
export const either = (one: Bitmap, other: Bitmap): Bitmap => joined(one, other, (a, b) => a | b);
/** What the first has and the other has not. */
export const without = (one: Bitmap, other: Bitmap): Bitmap => joined(one, other, (a, b) => a & ~b);

/** How often places are in bitmaps of one size: the most for any pixel, and the pixels that are in more than one. */
export function heaped(maps: readonly Bitmap[]): { readonly most: number; readonly againPx: number } {
  const [first] = maps;
  if (!first) return { most: 0, againPx: 0 };
  // the nth has what lies in more than n of them so far
  const over = maps.map(() => new Uint8Array(first.data.length));
  for (const { data } of maps)
    for (let n = maps.length - 1; n >= 0; n--) {
      const below = over[n - 1];
      const here = over[n]!;
      for (let i = 0; i < here.length; i++) here[i] = here[i]! | (below ? below[i]! & data[i]! : data[i]!);
    }
  const counts = over.map((bits) => countBits(bits));
  return { most: counts.filter((count) => count > 0).length, againPx: counts[1] ?? 0 };
}

/** Every pixel of the canvas. */
export function solid(widthPx: number, heightPx: number): Bitmap {
  const map = createBitmap(widthPx, heightPx);
  map.data.fill(0xff);
  if (map.strideBytes > 0)
    for (let y = 0; y < heightPx; y++) map.data[(y + 1) * map.strideBytes - 1] = tailMask(widthPx);
  return map;
}

/** Every pixel no further than `px` along rows and along columns: dilation by a square of 2 px + 1. */
export function grown(map: Bitmap, px: number): Bitmap {
  const { widthPx, heightPx, strideBytes } = map;
  let from = Uint8Array.from(map.data);
  let to = new Uint8Array(from.length);
  const tail = tailMask(widthPx);
  for (let step = 0; step < px; step++) {
    for (let y = 0; y < heightPx; y++) {
      const row = y * strideBytes;
      const up = y > 0 ? row - strideBytes : row;
      const down = y < heightPx - 1 ? row + strideBytes : row;
      let left = 0;
      let here = from[row]! | from[up]! | from[down]!;
      for (let i = 0; i < strideBytes; i++) {
        const right = i + 1 < strideBytes ? from[row + i + 1]! | from[up + i + 1]! | from[down + i + 1]! : 0;
        to[row + i] = here | (here >> 1) | (here << 1) | (left << 7) | (right >> 7);
        left = here;
        here = right;
      }
      to[row + strideBytes - 1] = to[row + strideBytes - 1]! & tail;
    }
    [from, to] = [to, from];
  }
  return { ...map, data: from };
}
