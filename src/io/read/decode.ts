import { closeSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { MM_PER_INCH } from '../../core/geometry.ts';
import type { Samples, Scratch } from '../scratch.ts';
import { unlessAborted } from './abort.ts';
import type { PictureFacts } from './facts.ts';
import type { Inspection } from './inspect.ts';
import type { Decoded } from './reader.ts';
import { scratchFault, scratchFolder } from './room.ts';
import { makeGrey } from './samples/grey.ts';
import { makePlanes } from './samples/planes.ts';
import { enoughRange, rangeCautions, usedRange } from './samples/range.ts';
import { drawnSize } from './svg/drawn.ts';

/** A picture decoded to grey. `close` gives its scratch space back; call it once, when all readers are done. */
export interface Picture {
  readonly facts: PictureFacts;
  readonly scratch: Scratch;
  close(): void;
}

export interface DecodeOptions {
  /** Pixels across to draw a drawing with; its height follows, and both stay within the pixel limit. */
  readonly drawingWidthPx?: number;
}

/**
 * Decodes an inspected picture to grey, in bounded memory: through its embedded profile to sRGB, over paper
 * white, to luminance in linear light (ITU-R BT.709 weights) coded as sRGB grey; neutral grey keeps its code.
 * Throws an EtchError of kind `input` for a damaged file, `output` where the scratch folder cannot hold it.
 */
export async function decodePicture(
  inspection: Inspection,
  options: DecodeOptions = {},
  signal?: AbortSignal,
): Promise<Picture> {
  return decodedWith(inspection, options, signal, async (decoded, folder, facts) => {
    const scratch = await greyScratch(decoded, join(folder, 'grey'), signal);
    try {
      const range = await usedRange(scratch, enoughRange(facts), signal);
      const cautions = [...facts.cautions, ...rangeCautions(range, facts)];
      return { facts: { ...facts, cautions }, scratch, close: closingOnce(scratch.fd) };
    } catch (error) {
      closeSync(scratch.fd);
      throw error;
    }
  });
}

/** A picture decoded to colours: one scratch each of red, green and blue, 8 bit, sRGB over paper white. */
export interface ColourPicture {
  readonly facts: PictureFacts;
  readonly planes: readonly [Scratch, Scratch, Scratch];
  close(): void;
}

/** As `decodePicture`, for a picture that was inspected with `colour`. */
export async function decodeColours(
  inspection: Inspection,
  options: DecodeOptions = {},
  signal?: AbortSignal,
): Promise<ColourPicture> {
  return decodedWith(inspection, options, signal, async (decoded, folder, facts) => {
    try {
      const planes = await makePlanes(decoded, join(folder, 'planes'), signal);
      return { facts, planes, close: closingOnce(planes[0].fd) };
    } finally {
      closeSync(decoded.samples.fd);
    }
  });
}

/** Decodes in a folder of its own, hands the samples to `keep`, and takes the folder away again. */
async function decodedWith<T>(
  inspection: Inspection,
  options: DecodeOptions,
  signal: AbortSignal | undefined,
  keep: (decoded: Decoded, folder: string, facts: PictureFacts) => Promise<T>,
): Promise<T> {
  const { options: read, opened } = inspection;
  const facts = drawnFacts(inspection, options);
  const needed = facts.widthPx * facts.heightPx * opened.bytesPerPixel;
  const folder = await scratchFolder(read.scratchDir, needed);
  // Taken away at once when the user gives up: the decoder itself cannot be stopped and then writes to no name.
  const remove = () => rmSync(folder, { recursive: true, force: true });
  signal?.addEventListener('abort', remove, { once: true });
  try {
    signal?.throwIfAborted();
    const { widthPx, heightPx } = facts;
    const decoded = await unlessAborted(
      opened.decode({ folder, widthPx, heightPx, signal }),
      signal,
      ({ samples }) => closeSync(samples.fd),
    );
    return await keep(decoded, folder, facts);
  } catch (error) {
    signal?.throwIfAborted();
    throw scratchFault(read.scratchDir, error) ?? error;
  } finally {
    signal?.removeEventListener('abort', remove);
    remove();
  }
}

// Fine enough for a proof; whoever knows the plate asks for its own pixels.
const drawingPpi = 300;
const drawingWidthPx = 3000;

/** The facts of a drawing once its size in pixels is settled; a picture has had its size all along. */
function drawnFacts({ facts, options: { maxPixels } }: Inspection, options: DecodeOptions): PictureFacts {
  if (!facts.drawing) return facts;
  const { sizeMm } = facts;
  const usual = sizeMm ? (sizeMm.widthMm / MM_PER_INCH) * drawingPpi : drawingWidthPx;
  const stated = sizeMm ? { widthPx: sizeMm.widthMm, heightPx: sizeMm.heightMm } : facts;
  const drawn = drawnSize(stated, options.drawingWidthPx ?? usual, maxPixels);
  return {
    ...facts,
    ...drawn,
    uprightWidthPx: drawn.widthPx,
    uprightHeightPx: drawn.heightPx,
    ppiX: sizeMm && (drawn.widthPx / sizeMm.widthMm) * MM_PER_INCH,
    ppiY: sizeMm && (drawn.heightPx / sizeMm.heightMm) * MM_PER_INCH,
  };
}

/** A second call must not close a file that has since been given the same number. */
function closingOnce(fd: number): () => void {
  let open = true;
  return () => {
    if (open) closeSync(fd);
    open = false;
  };
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
