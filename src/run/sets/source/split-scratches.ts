import { closeSync } from 'node:fs';
import type { ColourPicture } from '../../../io/read/decode.ts';
import type { Scratch } from '../../../io/scratch.ts';
import { NO_PLATE } from '../../no-plate.ts';
import { inOrder } from '../../plate/bands.ts';
import type { Pool } from '../../pool.ts';
import type { NamedMethod, Splitting } from '../split.ts';
import { unnamed } from './scratch.ts';

/** Pixels in one piece of work. */
const PIECE_PX = 1 << 20;

/** Divides a picture, as it lies, into a grey scratch of 16 bit for each plate; one run over the picture for all. */
export async function splitScratches(
  { planes }: ColourPicture,
  method: NamedMethod,
  table: Uint16Array,
  plates: number,
  pool: Pool,
  folder: string,
  signal: AbortSignal,
): Promise<Scratch[]> {
  const { widthPx, heightPx } = planes[0];
  const pixels = widthPx * heightPx;
  const scratches: Scratch[] = [];
  try {
    for (let plate = 0; plate < plates; plate++)
      scratches.push({ fd: unnamed(folder, 'tones'), widthPx, heightPx, bytesPerSample: 2, offsetBytes: 0 });
    const splitting: Splitting = { method, table, planes, plates: scratches };
    await inOrder(
      Math.ceil(pixels / PIECE_PX),
      pool.threads * 2,
      signal,
      (piece) => {
        const [from, to] = [piece * PIECE_PX, Math.min(pixels, (piece + 1) * PIECE_PX)];
        return pool.run({ do: 'splitPixels', plate: NO_PLATE, args: [splitting, from, to] });
      },
      () => undefined,
    );
    return scratches;
  } catch (error) {
    for (const { fd } of scratches) closeSync(fd);
    throw error;
  }
}
