import { availableParallelism } from 'node:os';
import type { Metadata, Sharp, SharpOptions } from 'sharp';

/** The picture library, set up once for reading: nothing kept between pictures, every core used. */
export interface Decoder {
  open(path: string, options: SharpOptions): Sharp;
}

export type Header = Metadata;

/** Loaded when the first picture is read, so that help and usage errors do not wait for it. */
export async function loadDecoder(): Promise<Decoder> {
  const { default: sharp } = await import('sharp');
  sharp.cache(false);
  sharp.concurrency(availableParallelism());
  return { open: (path, options) => sharp(path, { ...options, failOn: 'warning', sequentialRead: true }) };
}
