import { closeSync, rmSync } from 'node:fs';
import { mkdtemp, statfs } from 'node:fs/promises';
import { join, resolve } from 'node:path';
import { EtchError } from '../../core/errors.ts';
import { openScratch, type Scratch } from '../scratch.ts';
import { loadDecoder } from './decoder.ts';
import type { PictureFacts } from './facts.ts';
import { corruptError } from './input.ts';
import type { Inspection } from './inspect.ts';
import { withPlainPath } from './plain-path.ts';

/** A picture decoded to grey. `close` gives its scratch space back; call it once, when all readers are done. */
export interface Picture {
  readonly facts: PictureFacts;
  readonly scratch: Scratch;
  close(): void;
}

// The picture library makes white from 255; luminance and paper white are its business, both before any averaging.
const paper = '#ffffff';

/**
 * Decodes an inspected picture to grey, in bounded memory: through its embedded profile to sRGB, over paper
 * white, to luminance in linear light (ITU-R BT.709 weights) coded as sRGB grey; neutral grey keeps its code.
 * Throws an EtchError of kind `input` for a damaged file, `output` where the scratch folder cannot hold it.
 */
export async function decodePicture(inspection: Inspection, signal?: AbortSignal): Promise<Picture> {
  const { facts, options } = inspection;
  const folder = await scratchFolder(facts, options.scratchDir);
  // Taken away at once when the user gives up: the decoder itself cannot be stopped and then writes to no name.
  const remove = () => rmSync(folder, { recursive: true, force: true });
  signal?.addEventListener('abort', remove, { once: true });
  try {
    const file = join(folder, 'grey.v');
    await decodeTo(file, inspection);
    signal?.throwIfAborted();
    const scratch = openScratch(file);
    return { facts, scratch, close: () => closeSync(scratch.fd) };
  } catch (error) {
    signal?.throwIfAborted();
    throw error;
  } finally {
    signal?.removeEventListener('abort', remove);
    remove();
  }
}

async function decodeTo(file: string, { input, facts, options }: Inspection): Promise<void> {
  const decoder = await loadDecoder();
  const page = (options.page ?? 1) - 1;
  await withPlainPath(input.path, options.scratchDir, async (path) => {
    const image = decoder.open(path, { limitInputPixels: options.maxPixels, page });
    if (facts.alpha) image.flatten({ background: paper });
    image.toColourspace(facts.depthBits === 16 ? 'grey16' : 'b-w');
    try {
      await image.toFile(file);
    } catch (error) {
      throw scratchFailed(error) ? noRoom(options.scratchDir, error) : corruptError(input, error);
    }
  });
}

/** A folder of our own, where there is room for the grey picture. */
async function scratchFolder(facts: PictureFacts, scratchDir: string): Promise<string> {
  const needed = (facts.widthPx * facts.heightPx * facts.depthBits) / 8;
  try {
    const { bavail, bsize } = await statfs(scratchDir);
    if (bavail * bsize < needed) throw noRoom(scratchDir);
    return await mkdtemp(join(resolve(scratchDir), 'etchwright-'));
  } catch (error) {
    throw error instanceof EtchError ? error : noRoom(scratchDir, error);
  }
}

const scratchFailed = (error: unknown): boolean =>
  error instanceof Error &&
  /no space|unable to write|file too large|unable to open for write|quota/i.test(error.message);

const noRoom = (scratchDir: string, cause?: unknown) =>
  new EtchError(
    'output',
    'scratch-no-room',
    `Writing the decoded picture to the temporary folder "${scratchDir}": there is no room, or it may not be written.`,
    'Make room there, or set another temporary folder.',
    cause,
  );
