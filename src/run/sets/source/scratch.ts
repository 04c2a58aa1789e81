/** Grey scratch files on the raster of a plate. */

import { closeSync, openSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { setImmediate as nextTurn } from 'node:timers/promises';
import type { Bitmap } from '../../../core/bitmap.ts';
import type { PlateLayout } from '../../../core/geometry.ts';
import { openResampler } from '../../../core/resample/index.ts';
import { FULL_TONE } from '../../../core/tone.ts';
import { writeExactly } from '../../../io/exact.ts';
import type { Scratch } from '../../../io/scratch.ts';
import { darkSource, eachRow, type Turned } from './upright.ts';

/** A scratch file that loses its name at once. */
export function unnamed(folder: string, name: string): number {
  const file = join(folder, name);
  const fd = openSync(file, 'wx+');
  rmSync(file, { force: true });
  return fd;
}

const BLOCK_BYTES = 1 << 20;

/** A grey picture of two levels, black where the bitmap has a pixel; a pixel of the plate each. */
export async function bitsScratch(map: Bitmap, folder: string, signal: AbortSignal): Promise<Scratch> {
  const { widthPx, heightPx, strideBytes, data } = map;
  const fd = unnamed(folder, 'area');
  try {
    const blockRows = Math.max(1, Math.floor(BLOCK_BYTES / widthPx));
    const block = new Uint8Array(blockRows * widthPx);
    for (let top = 0; top < heightPx; top += blockRows) {
      const rows = Math.min(blockRows, heightPx - top);
      for (let row = 0, to = 0; row < rows; row++) {
        const from = (top + row) * strideBytes;
        for (let x = 0; x < widthPx; x += 8) {
          const byte = data[from + (x >> 3)]!;
          const end = Math.min(8, widthPx - x);
          for (let bit = 7; bit > 7 - end; bit--) block[to++] = ((byte >> bit) & 1) - 1;
        }
      }
      writeExactly(fd, block.subarray(0, rows * widthPx), top * widthPx);
      await nextTurn(undefined, { signal });
    }
    return { fd, widthPx, heightPx, bytesPerSample: 1, offsetBytes: 0 };
  } catch (error) {
    closeSync(fd);
    throw error;
  }
}

/**
 * The darkness of a picture on the raster of its plate, a grey scratch of 16 bit, where `faces` has a pixel; elsewhere
 * `elsewhere`, 0 (paper) … 65535.
 */
export async function faceScratch(
  turned: Turned,
  { box, x, y }: PlateLayout,
  faces: Bitmap,
  elsewhere: number,
  folder: string,
  signal: AbortSignal,
): Promise<Scratch> {
  const { widthPx, heightPx } = box;
  const rows = openResampler(darkSource(turned), x, y);
  const tone = new Uint16Array(widthPx);
  const fd = unnamed(folder, 'faces');
  try {
    await eachRow(heightPx, signal, (row) => {
      rows(row, tone);
      const at = row * faces.strideBytes;
      for (let i = 0; i < widthPx; i++) {
        const isFace = faces.data[at + (i >> 3)]! & (0x80 >> (i & 7));
        tone[i] = FULL_TONE - (isFace ? tone[i]! : elsewhere);
      }
      writeExactly(fd, tone, row * widthPx * 2);
    });
    return { fd, widthPx, heightPx, bytesPerSample: 2, offsetBytes: 0 };
  } catch (error) {
    closeSync(fd);
    throw error;
  }
}
