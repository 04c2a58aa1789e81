import { availableParallelism } from 'node:os';
import type { Metadata, Sharp, SharpOptions } from 'sharp';

/** The picture library, set up once for reading: nothing kept between pictures, every core used. */
export interface Decoder {
  /** `picture` is a path it takes as it stands, or a whole small file. */
  open(picture: string | Uint8Array, options: SharpOptions): Sharp;
}

export type LibraryHeader = Metadata;

/** Loaded when the first picture is read, so that help and usage errors do not wait for it. */
export async function loadDecoder(): Promise<Decoder> {
  const { default: sharp } = await import('sharp');
  sharp.cache(false);
  sharp.concurrency(availableParallelism());
  return {
    open: (picture, options) => sharp(picture, { ...options, failOn: 'warning', sequentialRead: true }),
  };
}
