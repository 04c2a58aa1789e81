import { createHash } from 'node:crypto';
import type { Stats } from 'node:fs';
import { type FileHandle, open, stat } from 'node:fs/promises';
import { setImmediate as nextTurn } from 'node:timers/promises';
import { EtchError } from '../../core/errors.ts';
import { type ByteSource, fileBytes } from './bytes.ts';

/** Where a picture lies and what to call it in messages and reports. */
export interface PictureInput {
  readonly path: string;
  readonly name: string;
}

/** A problem with the picture itself, told with its name. */
export const inputError = (input: PictureInput, code: string, what: string, hint: string, cause?: unknown) =>
  new EtchError('input', code, `Reading "${input.name}": ${what}.`, hint, cause);

/** Told when the bytes end early, contradict themselves or fail a checksum. */
export const corruptError = (input: PictureInput, cause?: unknown) =>
  inputError(
    input,
    'picture-corrupt',
    'the file is truncated or corrupt',
    'Copy or export the picture again from the original.',
    cause,
  );

/** Told when a page is asked for that the file has not, or has as a frame of a moving picture that is not read. */
export const noSuchPage = (input: PictureInput, page: number, pages: number, frames = pages) =>
  new EtchError(
    'usage',
    'no-such-page',
    `Reading "${input.name}": page ${page} was asked for; ${pagesOf(pages, frames)}.`,
    pages === 1 ? 'Leave --page out.' : `Give --page a number from 1 to ${pages}.`,
  );

function pagesOf(pages: number, frames: number): string {
  if (frames > pages) return `only the first of the file’s ${frames} frames can be read`;
  return pages === 1 ? 'the file has one page' : `the file has ${pages} pages`;
}

const openFailures: Readonly<Record<string, readonly [code: string, what: string, hint: string]>> = {
  ENOENT: ['picture-not-found', 'there is no such file', 'Check the name and the folder.'],
  ENOTDIR: ['picture-not-found', 'there is no such file', 'Check the name and the folder.'],
  EISDIR: ['picture-is-folder', 'this is a folder, not a picture', 'Name the picture inside it.'],
  ELOOP: ['picture-not-found', 'links on the way lead round in a circle', 'Name the picture itself.'],
  ENAMETOOLONG: ['picture-not-found', 'there is no such file', 'Check the name and the folder.'],
  EACCES: ['picture-no-permission', 'the file may not be read', 'Ask its owner for permission to read it.'],
  EPERM: ['picture-no-permission', 'the file may not be read', 'Ask its owner for permission to read it.'],
};

/** Opens the file, looks at it through `use`, closes it; refuses what is no plain file or holds nothing. */
export async function withInput<T>(
  input: PictureInput,
  use: (bytes: ByteSource) => T | Promise<T>,
): Promise<T> {
  let file: FileHandle | undefined;
  try {
    // Looked at before it is opened: opening a pipe nobody writes to would wait for ever.
    const { size } = plainFile(input, await stat(input.path));
    file = await open(input.path, 'r');
    return await use(fileBytes(file.fd, size));
  } catch (error) {
    // Only what the system refused is the file's fault; anything else is told as it is.
    const { code, syscall } = error as NodeJS.ErrnoException;
    if (error instanceof EtchError || syscall === undefined) throw error;
    const failure = openFailures[code ?? ''];
    if (failure) throw inputError(input, ...failure, error);
    throw inputError(
      input,
      'picture-unreadable',
      'the file cannot be read',
      'Check the disk it lies on.',
      error,
    );
  } finally {
    await file?.close();
  }
}

function plainFile(input: PictureInput, found: Stats): Stats {
  if (found.isDirectory()) throw inputError(input, ...openFailures['EISDIR']!);
  if (!found.isFile()) {
    throw inputError(input, 'picture-not-a-file', 'this is no plain file', 'Give a picture file.');
  }
  if (found.size === 0) {
    throw inputError(input, 'picture-empty', 'the file is empty', 'Copy or export the picture again.');
  }
  return found;
}

/** SHA-256 of a picture file, as its report has it. Throws EtchError of kind `input` where it cannot be read. */
export const hashPicture = (input: PictureInput, signal?: AbortSignal): Promise<string> =>
  withInput(input, (bytes) => sha256Of(bytes, signal));

const blockBytes = 1 << 20;

/** SHA-256 of all bytes, a block at a time. */
export async function sha256Of(bytes: ByteSource, signal?: AbortSignal): Promise<string> {
  const hash = createHash('sha256');
  for (let at = 0; at < bytes.size; at += blockBytes) {
    hash.update(bytes.read(at, blockBytes));
    await nextTurn();
    signal?.throwIfAborted();
  }
  return hash.digest('hex');
}
