import { mkdtemp, statfs } from 'node:fs/promises';
import { join, resolve } from 'node:path';
import { EtchError } from '../../core/errors.ts';

const noRoom = (scratchDir: string, cause?: unknown) =>
  new EtchError(
    'output',
    'scratch-no-room',
    `Writing the decoded picture to the temporary folder "${scratchDir}": there is no room, or it may not be written.`,
    'Make room there, or set another temporary folder.',
    cause,
  );

/** A folder of our own in the scratch folder, where there is room for so many bytes. */
export async function scratchFolder(scratchDir: string, neededBytes: number): Promise<string> {
  try {
    const { bavail, bsize } = await statfs(scratchDir);
    if (bavail * bsize < neededBytes) throw noRoom(scratchDir);
    return await mkdtemp(join(resolve(scratchDir), 'etchwright-'));
  } catch (error) {
    throw error instanceof EtchError ? error : noRoom(scratchDir, error);
  }
}

const codes = new Set(['ENOSPC', 'EDQUOT', 'EFBIG', 'EROFS', 'EACCES', 'ENOENT', 'EIO']);

/** The error to tell where writing the scratch, and not reading the picture, went wrong; null otherwise. */
export function scratchFault(scratchDir: string, error: unknown): EtchError | null {
  if (!(error instanceof Error) || error instanceof EtchError) return null;
  const byCode = codes.has((error as NodeJS.ErrnoException).code ?? '');
  const byWords = /no space|unable to write|write failed|file too large|quota/i.test(error.message);
  return byCode || byWords ? noRoom(scratchDir, error) : null;
}
