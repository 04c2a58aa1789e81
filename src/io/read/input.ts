import { createHash } from 'node:crypto';
import { createReadStream, type Stats } from 'node:fs';
import { type FileHandle, open, stat } from 'node:fs/promises';
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

const openFailures: Readonly<Record<string, readonly [code: string, what: string, hint: string]>> = {
  ENOENT: ['picture-not-found', 'there is no such file', 'Check the name and the folder.'],
  ENOTDIR: ['picture-not-found', 'there is no such file', 'Check the name and the folder.'],
  EISDIR: ['picture-is-folder', 'this is a folder, not a picture', 'Name the picture inside it.'],
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
    if (error instanceof EtchError) throw error;
    const failure = openFailures[(error as NodeJS.ErrnoException).code ?? ''];
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

/** SHA-256 of the file's bytes, read as a stream. */
export async function sha256Of(path: string, signal?: AbortSignal): Promise<string> {
  const hash = createHash('sha256');
  for await (const chunk of createReadStream(path, { ...(signal && { signal }), highWaterMark: 1 << 18 })) {
    hash.update(chunk);
  }
  return hash.digest('hex');
}
