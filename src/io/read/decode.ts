import { closeSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import type { Samples, Scratch } from '../scratch.ts';
import type { PictureFacts } from './facts.ts';
import { makeGrey } from './grey.ts';
import type { Inspection } from './inspect.ts';
import { rangeCautions, usedRange } from './range.ts';
import type { Decoded } from './reader.ts';
import { scratchFault, scratchFolder } from './room.ts';

/** A picture decoded to grey. `close` gives its scratch space back; call it once, when all readers are done. */
export interface Picture {
  readonly facts: PictureFacts;
  readonly scratch: Scratch;
  close(): void;
}

/**
 * Decodes an inspected picture to grey, in bounded memory: through its embedded profile to sRGB, over paper
 * white, to luminance in linear light (ITU-R BT.709 weights) coded as sRGB grey; neutral grey keeps its code.
 * Throws an EtchError of kind `input` for a damaged file, `output` where the scratch folder cannot hold it.
 */
export async function decodePicture(inspection: Inspection, signal?: AbortSignal): Promise<Picture> {
  const { facts, options, opened } = inspection;
  const pixels = facts.widthPx * facts.heightPx;
  const folder = await scratchFolder(options.scratchDir, pixels * opened.bytesPerPixel);
  // Taken away at once when the user gives up: the decoder itself cannot be stopped and then writes to no name.
  const remove = () => rmSync(folder, { recursive: true, force: true });
  signal?.addEventListener('abort', remove, { once: true });
  try {
    signal?.throwIfAborted();
    const decoded = await opened.decode({ folder, drawingWidthPx: facts.widthPx });
    const scratch = await greyScratch(decoded, join(folder, 'grey'), signal);
    try {
      const range = await usedRange(scratch, signal);
      const cautions = [...facts.cautions, ...rangeCautions(range, facts)];
      return { facts: { ...facts, cautions }, scratch, close: () => closeSync(scratch.fd) };
    } catch (error) {
      closeSync(scratch.fd);
      throw error;
    }
  } catch (error) {
    signal?.throwIfAborted();
    throw scratchFault(options.scratchDir, error) ?? error;
  } finally {
    signal?.removeEventListener('abort', remove);
    remove();
  }
}

/** The decoded samples themselves where they are grey already, else a grey copy of them. */
async function greyScratch(decoded: Decoded, file: string, signal?: AbortSignal): Promise<Scratch> {
  const { samples, curve } = decoded;
  if (samples.bands === 1 && curve === null) return plain(samples);
  try {
    return await makeGrey(decoded, file, signal);
  } finally {
    closeSync(samples.fd);
  }
}

const plain = ({ bands: _, ...scratch }: Samples): Scratch => scratch;
