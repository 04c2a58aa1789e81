import type { ByteStream } from '../plain/byte-stream.ts';
import type { BmpHeader, ChannelBits } from './header.ts';

/** Fills one row of samples from the file, in stored order; false where the file ends early or makes no sense. */
export type BmpRow = (row: Uint8Array) => boolean;

/** Rows of plain pixels, each padded to four bytes. */
export function plainRows(bmp: BmpHeader, stream: ByteStream, bands: number): BmpRow {
  const { widthPx, bitsPerPixel } = bmp;
  const rowBytes = bmpRowBytes(bmp);
  const spread =
    bitsPerPixel <= 8 ? indexSpread(bmp, bands) : bitsPerPixel === 24 ? bgrSpread : packedSpread(bmp, bands);
  return (row) => {
    const stored = stream.take(rowBytes);
    if (stored.length < rowBytes) return false;
    spread(stored, row, widthPx);
    return true;
  };
}

export const bmpRowBytes = ({ widthPx, bitsPerPixel }: BmpHeader): number =>
  Math.ceil((widthPx * bitsPerPixel) / 32) * 4;

type Spread = (stored: Uint8Array, row: Uint8Array, widthPx: number) => void;

function indexSpread({ bitsPerPixel, palette }: BmpHeader, bands: number): Spread {
  const mask = 2 ** bitsPerPixel - 1;
  const perByte = 8 / bitsPerPixel;
  return (stored, row, widthPx) => {
    for (let x = 0; x < widthPx; x++) {
      const byte = stored[Math.floor(x / perByte)]!;
      const index = (byte >> (8 - bitsPerPixel * ((x % perByte) + 1))) & mask;
      for (let band = 0; band < bands; band++) row[x * bands + band] = palette[index * 3 + band]!;
    }
  };
}

const bgrSpread: Spread = (stored, row, widthPx) => {
  for (let at = 0; at < widthPx * 3; at += 3) {
    row[at] = stored[at + 2]!;
    row[at + 1] = stored[at + 1]!;
    row[at + 2] = stored[at]!;
  }
};

function packedSpread({ bitsPerPixel, channels }: BmpHeader, bands: number): Spread {
  const bytes = bitsPerPixel / 8;
  const tables = channels.slice(0, bands).map((channel) => ({ ...channel, ...scaleOf(channel) }));
  return (stored, row, widthPx) => {
    for (let x = 0; x < widthPx; x++) {
      let pixel = 0;
      for (let byte = bytes - 1; byte >= 0; byte--) pixel = ((pixel << 8) | stored[x * bytes + byte]!) >>> 0;
      for (let band = 0; band < bands; band++) {
        const { shift, most, scale } = tables[band]!;
        row[x * bands + band] = Math.round(((pixel >>> shift) & most) * scale);
      }
    }
  };
}

const scaleOf = ({ bits }: ChannelBits): { most: number; scale: number } => {
  const most = 2 ** Math.min(bits, 31) - 1;
  return { most, scale: most === 0 ? 0 : 255 / most };
};

// Second byte after a nought: end of row, end of picture, jump; more is a count of plain pixels.
const endOfRow = 0;
const endOfPicture = 1;
const jump = 2;

/**
 * Rows of run-length codes (MS-WMF 3.1.6 for 8 and 4 bits a pixel). Pixels jumped over, and rows after
 * an early end of picture, have index 0.
 */
export function runRows(
  { widthPx, bitsPerPixel, palette }: BmpHeader,
  stream: ByteStream,
  bands: number,
): BmpRow {
  const nibbles = bitsPerPixel === 4;
  const indices = new Uint8Array(widthPx);
  let emptyRows = 0;
  let x = 0;
  let over = false;
  const put = (index: number) => {
    if (x < widthPx) indices[x] = index;
    x++;
  };
  const run = (count: number, byte: number) => {
    for (let at = 0; at < count; at++) put(nibbles ? (at & 1 ? byte & 15 : byte >> 4) : byte);
  };
  const plain = (count: number): boolean => {
    const length = nibbles ? (count + 1) >> 1 : count;
    const stored = stream.take(length + (length & 1));
    if (stored.length < length) return false;
    for (let at = 0; at < count; at++) {
      const byte = stored[nibbles ? at >> 1 : at]!;
      put(nibbles ? (at & 1 ? byte & 15 : byte >> 4) : byte);
    }
    return true;
  };
  /** Reads codes up to the end of this row; false at the end of the file. */
  const fillRow = (): boolean => {
    for (;;) {
      const count = stream.next();
      const code = stream.next();
      if (code < 0) return false;
      if (count > 0) run(count, code);
      else if (code === endOfRow) {
        x = 0;
        return true;
      } else if (code === endOfPicture) {
        over = true;
        return true;
      } else if (code === jump) {
        const right = stream.next();
        const down = stream.next();
        if (down < 0) return false;
        x += right;
        emptyRows = Math.max(0, down - 1);
        if (down > 0) {
          return true;
        }
      } else if (!plain(code)) return false;
    }
  };
  return (row) => {
    indices.fill(0);
    if (emptyRows > 0) emptyRows--;
    else if (!over && !fillRow()) return false;
    for (let at = 0; at < widthPx; at++) {
      for (let band = 0; band < bands; band++) row[at * bands + band] = palette[indices[at]! * 3 + band]!;
    }
    return true;
  };
}
