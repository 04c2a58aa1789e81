import { setImmediate as nextTurn } from 'node:timers/promises';
import type { ByteSource } from '../bytes.ts';
import { corruptError, inputError, type PictureInput, withInput } from '../input.ts';
import { byteStream } from '../plain/byte-stream.ts';
import { plainHeader } from '../plain/header.ts';
import { writePixels } from '../plain/pixel-writer.ts';
import type { PictureReader } from '../reader.ts';
import { type PnmHeader, readPnmHeader } from './header.ts';

/** Reads PBM, PGM, PPM and PAM (Netpbm formats: pbm(5), pgm(5), ppm(5), pam(5)). */
export const readPnm: PictureReader = async (input, bytes) => {
  const pnm = readPnmHeader(bytes);
  if (pnm === 'corrupt') throw corruptError(input);
  if (pnm === 'unknown') {
    throw inputError(
      input,
      'picture-not-supported',
      'this kind of PAM picture cannot be read',
      'Save it as PGM or PPM.',
    );
  }
  checkLength(input, bytes, pnm);
  const { widthPx, heightPx, channels, most } = pnm;
  const bytesPerSample = most > 255 ? 2 : 1;
  const alpha = channels === 2 || channels === 4;
  return {
    header: plainHeader({ widthPx, heightPx, alpha, depthBits: bytesPerSample === 2 ? 16 : 8 }),
    bytesPerPixel: bytesPerSample * (channels === 1 ? 1 : channels + 1),
    decode: async ({ folder, signal }) => {
      const shape = { widthPx, heightPx, bands: channels, bytesPerSample } as const;
      const samples = await withInput(input, (again) =>
        writePixels(folder, shape, (writeRow) => fill(input, again, pnm, writeRow, signal)),
      );
      return { samples, curve: null };
    },
  };
};

const rowBytesOf = ({ coding, widthPx, channels, most }: PnmHeader): number =>
  coding === 'bits' ? Math.ceil(widthPx / 8) : widthPx * channels * (most > 255 ? 2 : 1);

/** A file too short for its header is refused before anything is made for it; text takes a byte a sample at least. */
function checkLength(input: PictureInput, bytes: ByteSource, pnm: PnmHeader): void {
  const row = pnm.coding === 'text' ? pnm.widthPx * pnm.channels : rowBytesOf(pnm);
  if (pnm.start + row * pnm.heightPx > bytes.size) throw corruptError(input);
}

type WriteRow = (y: number, row: Uint8Array | Uint16Array) => void;

async function fill(
  input: PictureInput,
  bytes: ByteSource,
  pnm: PnmHeader,
  writeRow: WriteRow,
  signal: AbortSignal | undefined,
): Promise<void> {
  const { widthPx, heightPx, channels, most } = pnm;
  const row = new (most > 255 ? Uint16Array : Uint8Array)(widthPx * channels);
  const full = most > 255 ? 65535 : 255;
  const read = pnm.coding === 'text' ? textRow(input, bytes, pnm) : packedRow(input, bytes, pnm);
  for (let y = 0; y < heightPx; y++) {
    read(row);
    if (most !== full) {
      for (let at = 0; at < row.length; at++) {
        if (row[at]! > most) throw corruptError(input);
        row[at] = Math.round((row[at]! * full) / most);
      }
    }
    writeRow(y, row);
    if (y % 256 === 255) await nextTurn(undefined, { ...(signal && { signal }) });
  }
}

/** Rows of bytes, of big-endian shorts, or of bits with 1 for black. */
function packedRow(input: PictureInput, bytes: ByteSource, pnm: PnmHeader) {
  const stream = byteStream(bytes, pnm.start);
  const rowBytes = rowBytesOf(pnm);
  return (row: Uint8Array | Uint16Array): void => {
    const packed = stream.take(rowBytes);
    if (packed.length < rowBytes) throw corruptError(input);
    if (pnm.coding === 'bits') {
      for (let x = 0; x < row.length; x++) row[x] = (packed[x >> 3]! >> (7 - (x & 7))) & 1 ? 0 : 1;
    } else if (row instanceof Uint8Array) row.set(packed);
    else for (let at = 0; at < row.length; at++) row[at] = (packed[at * 2]! << 8) | packed[at * 2 + 1]!;
  };
}

const hash = 0x23;
const newline = 0x0a;
const isSpace = (byte: number) => byte === 0x20 || (byte >= 0x09 && byte <= 0x0d);

/** Rows of decimal numbers, or of single digits 0 and 1 with 1 for black. */
function textRow(input: PictureInput, bytes: ByteSource, { start, bilevel, most }: PnmHeader) {
  const stream = byteStream(bytes, start);
  const first = (): number => {
    let byte = stream.next();
    while (isSpace(byte) || byte === hash) {
      if (byte === hash) while (byte !== newline && byte >= 0) byte = stream.next();
      byte = stream.next();
    }
    return byte;
  };
  const digit = (byte: number) => (byte >= 0x30 && byte <= 0x39 ? byte - 0x30 : -1);
  return (row: Uint8Array | Uint16Array): void => {
    for (let at = 0; at < row.length; at++) {
      let value = digit(first());
      if (value < 0) throw corruptError(input);
      if (bilevel) {
        row[at] = value === 0 ? 1 : 0;
        continue;
      }
      for (let next = digit(stream.next()); next >= 0; next = digit(stream.next())) {
        value = Math.min(value * 10 + next, 65535);
      }
      // Checked before it is stored: a byte would keep only the remainder.
      if (value > most) throw corruptError(input);
      row[at] = value;
    }
  };
}
