/** Plate files as independent readers see them (pngjs, utif), and the facts in their bytes. */
import { createHash } from 'node:crypto';
import { PNG } from 'pngjs';
import * as utif from 'utif';

/** What a reader sees: 1 is black, 0 white; any other grey would be a fault and throws. */
export interface Seen {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly black: Uint8Array;
}

function seen(widthPx: number, heightPx: number, rgba: Uint8Array): Seen {
  const black = new Uint8Array(widthPx * heightPx);
  for (let i = 0; i < black.length; i++) {
    const [r, g, b, a] = rgba.subarray(4 * i, 4 * i + 4);
    if (r !== g || g !== b || a !== 255 || (r !== 0 && r !== 255))
      throw new Error(`pixel ${i} is ${r}, ${g}, ${b}, ${a}: neither black nor white`);
    black[i] = r === 0 ? 1 : 0;
  }
  return { widthPx, heightPx, black };
}

export function seenInPng(file: Buffer): Seen & { readonly depth: number; readonly colourType: number } {
  const { width, height, data, depth, colorType } = PNG.sync.read(file);
  return { ...seen(width, height, data), depth, colourType: colorType };
}

/** Also gives the tags, as `tags.t262`. */
export function seenInTiff(file: Buffer): Seen & { readonly tags: utif.Page } {
  const bytes = new Uint8Array(file).buffer;
  const [page] = utif.decode(bytes);
  utif.decodeImage(bytes, page!);
  return { ...seen(page!.width, page!.height, utif.toRGBA8(page!)), tags: page! };
}

/** Rows as text, black as 1, for messages one can look at. */
export const rowsOf = ({ widthPx, heightPx, black }: Seen): string[] =>
  Array.from({ length: heightPx }, (_, y) => black.subarray(y * widthPx, (y + 1) * widthPx).join(''));

/** Share of black in a rectangle. */
export function shareOfBlack(plate: Seen, x0 = 0, y0 = 0, width = plate.widthPx, height = plate.heightPx) {
  let count = 0;
  for (let y = y0; y < y0 + height; y++)
    for (let x = x0; x < x0 + width; x++) count += plate.black[y * plate.widthPx + x]!;
  return count / (width * height);
}

/** SHA-256 of width and height (uint32, big-endian), then the packed rows with 1 = black and padding 0. */
export function bitsSha256({ widthPx, heightPx, black }: Seen): string {
  const head = Buffer.alloc(8);
  head.writeUInt32BE(widthPx, 0);
  head.writeUInt32BE(heightPx, 4);
  const stride = Math.ceil(widthPx / 8);
  const rows = Buffer.alloc(stride * heightPx);
  for (let y = 0; y < heightPx; y++)
    for (let x = 0; x < widthPx; x++)
      if (black[y * widthPx + x] === 1) rows[y * stride + (x >> 3)]! |= 0x80 >> (x & 7);
  return createHash('sha256').update(head).update(rows).digest('hex');
}

export const sha256 = (bytes: Uint8Array | string): string =>
  createHash('sha256').update(bytes).digest('hex');

/** Chunks of a PNG in order (PNG, section 5.3). */
export function pngChunks(file: Buffer): { readonly type: string; readonly data: Buffer }[] {
  const chunks = [];
  for (let at = 8; at < file.length; at += 12 + file.readUInt32BE(at)) {
    const end = at + 8 + file.readUInt32BE(at);
    chunks.push({ type: file.toString('latin1', at + 4, at + 8), data: file.subarray(at + 8, end) });
  }
  return chunks;
}
