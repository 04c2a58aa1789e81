import { rmSync } from 'node:fs';
import type { Scratch } from '../scratch.ts';
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
): Promise<Scratch | null> {
  if (!opened.decodeAlpha) return null;
  const folder = await scratchFolder(options.scratchDir, widthPx * heightPx * SAMPLE_BYTES);
  try {
    const { bands, ...scratch } = await opened.decodeAlpha({ folder, widthPx, heightPx });
    if (bands !== 1) throw new Error(`transparency of ${bands} channels`);
    return scratch;
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
