import { type Bitmap, strideFor } from '../bitmap.ts';

/** Rows of bits in words of 32, the leftmost pixel in the highest bit; padding is 0. */
export interface Words {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly rowWords: number;
  readonly data: Int32Array;
}

/** Rows of zeros. */
export const emptyWords = (widthPx: number, heightPx: number): Words => {
  const rowWords = (widthPx + 31) >>> 5;
  return { widthPx, heightPx, rowWords, data: new Int32Array(rowWords * heightPx) };
};

/** A bitmap's bytes as words. */
export function wordsOf({ widthPx, heightPx, strideBytes, data }: Bitmap): Words {
  const words = emptyWords(widthPx, heightPx);
  const { rowWords } = words;
  for (let y = 0; y < heightPx; y++) {
    const from = y * strideBytes;
    const to = y * rowWords;
    for (let i = 0; i < strideBytes; i++)
      words.data[to + (i >> 2)] = words.data[to + (i >> 2)]! | (data[from + i]! << (24 - 8 * (i & 3)));
  }
  return words;
}

/** And back. */
export function bitmapOf({ widthPx, heightPx, rowWords, data }: Words): Bitmap {
  const strideBytes = strideFor(widthPx);
  const bytes = new Uint8Array(strideBytes * heightPx);
  for (let y = 0; y < heightPx; y++)
    for (let i = 0; i < strideBytes; i++)
      bytes[y * strideBytes + i] = data[y * rowWords + (i >> 2)]! >>> (24 - 8 * (i & 3));
  return { widthPx, heightPx, strideBytes, data: bytes };
}

/** One row of `rowWords` words from `source[at]` on, moved right by so many pixels, left where that is negative; what leaves it is lost, and padding may hold bits. */
export function moveRow(
  source: Int32Array,
  at: number,
  rowWords: number,
  byPx: number,
  target: Int32Array,
): void {
  const far = Math.abs(byPx);
  const whole = far >>> 5;
  const bits = far & 31;
  if (byPx >= 0)
    for (let i = 0; i < rowWords; i++) {
      const near = i - whole >= 0 ? source[at + i - whole]! : 0;
      const next = bits > 0 && i - whole > 0 ? source[at + i - whole - 1]! << (32 - bits) : 0;
      target[i] = (near >>> bits) | next;
    }
  else
    for (let i = 0; i < rowWords; i++) {
      const near = i + whole < rowWords ? source[at + i + whole]! : 0;
      const next = bits > 0 && i + whole + 1 < rowWords ? source[at + i + whole + 1]! >>> (32 - bits) : 0;
      target[i] = (near << bits) | next;
    }
}

/** Is a pixel set? Outside there is nothing. */
export const hasPixel = ({ widthPx, heightPx, rowWords, data }: Words, x: number, y: number): boolean =>
  x >= 0 &&
  y >= 0 &&
  x < widthPx &&
  y < heightPx &&
  ((data[y * rowWords + (x >> 5)]! << (x & 31)) & 0x80000000) !== 0;
