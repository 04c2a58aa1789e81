import { closeSync, rmSync } from 'node:fs';
import type { Scratch } from '../scratch.ts';
import { unlessAborted } from './abort.ts';
import type { PictureFacts } from './facts.ts';
import type { Inspection } from './inspect.ts';
import { scratchFolder } from './room.ts';

const SAMPLE_BYTES = 2;

/**
 * The transparency of an inspected picture as a scratch file, 0 = clear, lying as stored; null where it has none. `facts`
 * are those of the decoded picture, since a drawing has its pixels only then. Whoever asked closes the file.
 */
export async function decodeAlpha(
  { opened, options }: Inspection,
  { widthPx, heightPx }: PictureFacts,
  signal?: AbortSignal,
): Promise<Scratch | null> {
  if (!opened.decodeAlpha) return null;
  const folder = await scratchFolder(options.scratchDir, widthPx * heightPx * SAMPLE_BYTES);
  try {
    const work = opened.decodeAlpha({ folder, widthPx, heightPx, signal });
    const { bands, ...scratch } = await unlessAborted(work, signal, ({ fd }) => closeSync(fd));
    if (bands === 1) return scratch;
    closeSync(scratch.fd);
    throw new Error(`transparency of ${bands} channels`);
  } catch (error) {
    signal?.throwIfAborted();
    throw error;
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
