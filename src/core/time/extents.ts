import type { Bitmap } from '../bitmap.ts';

/** Where the marks of each line of a plate begin and end, in pixels; −1, −1 for an empty line. */
export interface Extents {
  /** Pixels along a line. */
  readonly lengthPx: number;
  readonly first: Int32Array;
  readonly last: Int32Array;
}

const emptyExtents = (lengthPx: number, lines: number): Extents => ({
  lengthPx,
  first: new Int32Array(lines).fill(-1),
  last: new Int32Array(lines).fill(-1),
});

/** First and last etched pixel of every row. */
export function rowExtents(etch: Bitmap): Extents {
  const { data, strideBytes, widthPx, heightPx } = etch;
  const extents = emptyExtents(widthPx, heightPx);
  for (let y = 0; y < heightPx; y++) {
    const at = y * strideBytes;
    let left = 0;
    while (left < strideBytes && data[at + left] === 0) left++;
    if (left === strideBytes) continue;
    let right = strideBytes - 1;
    while (data[at + right] === 0) right--;
    extents.first[y] = left * 8 + Math.clz32(data[at + left]!) - 24;
    const byte = data[at + right]!;
    extents.last[y] = right * 8 + 7 - (31 - Math.clz32(byte & -byte));
  }
  return extents;
}

/** First and last etched pixel of every column, from the top: the rows of the plate turned by 90 degrees. */
export function columnExtents(etch: Bitmap): Extents {
  const { strideBytes, widthPx, heightPx } = etch;
  const extents = emptyExtents(heightPx, widthPx);
  const seen = new Uint8Array(strideBytes);
  for (let y = 0; y < heightPx; y++) noteFresh(etch, y, seen, extents.first);
  seen.fill(0);
  for (let y = heightPx - 1; y >= 0; y--) noteFresh(etch, y, seen, extents.last);
  return extents;
}

/** Notes the row y for the columns that have their first pixel there. */
function noteFresh({ data, strideBytes }: Bitmap, y: number, seen: Uint8Array, into: Int32Array): void {
  for (let i = 0; i < strideBytes; i++) {
    const fresh = data[y * strideBytes + i]! & ~seen[i]!;
    if (fresh === 0) continue;
    seen[i] = seen[i]! | fresh;
    for (let bit = 0; bit < 8; bit++) if (fresh & (0x80 >> bit)) into[i * 8 + bit] = y;
  }
}
