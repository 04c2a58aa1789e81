import { type Bitmap, tailMask } from '../bitmap.ts';

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
  const wanted = new Uint8Array(strideBytes);
  const open = new Uint32Array(strideBytes);
  for (const [step, first, into] of [
    [1, 0, extents.first],
    [-1, heightPx - 1, extents.last],
  ] as const) {
    wanted.fill(0xff);
    wanted[strideBytes - 1] = tailMask(widthPx);
    for (let i = 0; i < strideBytes; i++) open[i] = i;
    let count = strideBytes;
    for (let y = first; count > 0 && y >= 0 && y < heightPx; y += step)
      count = noteFresh(etch, y, wanted, open, count, into);
  }
  return extents;
}

/**
 * Notes the row y for the columns that are wanted and have a pixel there; of the bytes of columns in `open`, those that still have
 * wanted ones stay. Gives their number: on most plates few are left after a hundred rows.
 */
function noteFresh(
  { data, strideBytes }: Bitmap,
  y: number,
  wanted: Uint8Array,
  open: Uint32Array,
  count: number,
  into: Int32Array,
): number {
  let left = 0;
  for (let k = 0; k < count; k++) {
    const i = open[k]!;
    const still = wanted[i]!;
    const fresh = data[y * strideBytes + i]! & still;
    if (fresh !== 0) {
      for (let bit = 0; bit < 8; bit++) if (fresh & (0x80 >> bit)) into[i * 8 + bit] = y;
      wanted[i] = still ^ fresh;
    }
    if (still !== fresh) open[left++] = i;
  }
  return left;
}
