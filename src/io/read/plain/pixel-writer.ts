import { closeSync, openSync } from 'node:fs';
import { join } from 'node:path';
import { writeExactly } from '../../exact.ts';
import type { Samples } from '../../scratch.ts';

/** The shape of pixels that a reader of our own is about to write. */
export interface PixelShape {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly bands: 1 | 2 | 3 | 4;
  readonly bytesPerSample: 1 | 2;
}

// Laid out as the picture library lays out its own, whose header is 64 bytes; nothing here needs one.
const offsetBytes = 64;

/** Writes pixels row by row into the folder; rows may come in any order. Closes the file if `fill` fails. */
export async function writePixels(
  folder: string,
  shape: PixelShape,
  fill: (writeRow: (y: number, row: Uint8Array | Uint16Array) => void) => Promise<void>,
): Promise<Samples> {
  const fd = openSync(join(folder, 'picture'), 'wx+');
  const rowBytes = shape.widthPx * shape.bands * shape.bytesPerSample;
  try {
    await fill((y, row) => writeExactly(fd, row, offsetBytes + y * rowBytes));
    return { fd, ...shape, offsetBytes };
  } catch (error) {
    closeSync(fd);
    throw error;
  }
}
