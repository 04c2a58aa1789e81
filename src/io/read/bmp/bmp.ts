import { setImmediate as nextTurn } from 'node:timers/promises';
import type { ByteSource } from '../bytes.ts';
import { plausible } from '../headers/resolution.ts';
import { corruptError, inputError, type PictureInput, withInput } from '../input.ts';
import { byteStream } from '../plain/byte-stream.ts';
import { plainHeader } from '../plain/header.ts';
import { writePixels } from '../plain/pixel-writer.ts';
import type { PictureReader } from '../reader.ts';
import { type BmpHeader, readBmpHeader } from './header.ts';
import { bmpRowBytes, plainRows, runRows } from './rows.ts';

/** Reads Windows and OS/2 bitmaps. */
export const readBmp: PictureReader = async (input, bytes) => {
  const bmp = readBmpHeader(bytes);
  if (bmp === 'corrupt') throw corruptError(input);
  if (bmp === 'unknown') {
    throw inputError(
      input,
      'picture-not-supported',
      'this kind of BMP picture cannot be read',
      'Save it with 24 bits a pixel and without compression, or as PNG.',
    );
  }
  checkLength(input, bytes, bmp);
  const { widthPx, heightPx } = bmp;
  const bands = bandsOf(bmp);
  return {
    header: plainHeader({ widthPx, heightPx, alpha: bands === 4, depthBits: 8, ppi: plausible(bmp.ppi) }),
    bytesPerPixel: bands === 1 ? 1 : bands + 1,
    decode: async ({ folder, signal }) => {
      const shape = { widthPx, heightPx, bands, bytesPerSample: 1 } as const;
      const samples = await withInput(input, (again) =>
        writePixels(folder, shape, (writeRow) => fill(input, again, bmp, bands, writeRow, signal)),
      );
      return { samples, curve: null };
    },
  };
};

/** One band where the palette is grey throughout, four where a mask holds transparency. */
function bandsOf({ bitsPerPixel, palette, channels }: BmpHeader): 1 | 3 | 4 {
  if (bitsPerPixel <= 8) {
    const grey = palette.every((code, at) => code === palette[at - (at % 3)]);
    return grey ? 1 : 3;
  }
  return channels[3].bits > 0 ? 4 : 3;
}

/** Plain pixels must all be there; run lengths are found short only when read. */
function checkLength(input: PictureInput, bytes: ByteSource, bmp: BmpHeader): void {
  const length = bmp.runLength ? 2 : bmpRowBytes(bmp) * bmp.heightPx;
  if (bmp.start + length > bytes.size) throw corruptError(input);
}

async function fill(
  input: PictureInput,
  bytes: ByteSource,
  bmp: BmpHeader,
  bands: number,
  writeRow: (y: number, row: Uint8Array) => void,
  signal: AbortSignal | undefined,
): Promise<void> {
  const stream = byteStream(bytes, bmp.start);
  const read = (bmp.runLength ? runRows : plainRows)(bmp, stream, bands);
  const row = new Uint8Array(bmp.widthPx * bands);
  for (let stored = 0; stored < bmp.heightPx; stored++) {
    if (!read(row)) throw corruptError(input);
    writeRow(bmp.bottomUp ? bmp.heightPx - 1 - stored : stored, row);
    if (stored % 256 === 255) await nextTurn(undefined, { ...(signal && { signal }) });
  }
}
