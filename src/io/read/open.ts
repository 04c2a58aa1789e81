import { type DecodeOptions, decodePicture, type Picture } from './decode.ts';
import type { PictureInput } from './input.ts';
import { inspectPicture } from './inspect.ts';
import type { ReadOptions } from './reader.ts';

/** Reads a picture file into a grey scratch file: what `inspectPicture` and `decodePicture` do, one after the other. */
export async function openPicture(
  input: PictureInput,
  options: ReadOptions & DecodeOptions,
  signal?: AbortSignal,
): Promise<Picture> {
  return decodePicture(await inspectPicture(input, options, signal), options, signal);
}
