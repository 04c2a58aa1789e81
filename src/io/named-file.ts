import type { FileHandle } from 'node:fs/promises';
import { open, stat } from 'node:fs/promises';

/** Why a file that somebody named is not read: `what` is wrong, in words; `code` the system's, or one of ours. */
export class UnreadableFile extends Error {
  readonly code: string;
  constructor(code: string, what: string, cause?: unknown) {
    super(what, { cause });
    this.code = code;
  }
}

const WORDS: Readonly<Record<string, string>> = {
  ENOENT: 'there is no such file',
  ENOTDIR: 'there is no such file',
  EISDIR: 'it is a folder',
  EACCES: 'reading it is not permitted',
  ELOOP: 'links on the way lead round in a circle',
  ENAMETOOLONG: 'the name is too long',
};

/** Pipes that the shell has opened for us, as `<(…)` does; opening any other might wait for ever. */
const OPENED = /^\/(dev\/(fd\/\d+|stdin)|proc\/self\/fd\/\d+)$/;

/** Opens a file for reading that is a plain one, or a pipe from the shell. Throws UnreadableFile. */
export async function openNamed(path: string): Promise<FileHandle> {
  try {
    const found = await stat(path);
    if (found.isDirectory()) throw new UnreadableFile('EISDIR', WORDS['EISDIR']!);
    if (!found.isFile() && !(found.isFIFO() && OPENED.test(path)))
      throw new UnreadableFile('not-a-file', 'it is a device or a pipe, not a file');
    return await open(path, 'r');
  } catch (error) {
    if (error instanceof UnreadableFile) throw error;
    const { code = '', message } = error as NodeJS.ErrnoException;
    throw new UnreadableFile(code, WORDS[code] ?? message, error);
  }
}

const blockBytes = 1 << 20;

/** The bytes of a file that is small enough; no more than `mostBytes` are ever read. Throws UnreadableFile. */
export async function readNamed(path: string, mostBytes: number): Promise<Buffer> {
  const file = await openNamed(path);
  try {
    const blocks: Buffer[] = [];
    for (let total = 0; ; ) {
      const block = Buffer.allocUnsafe(Math.min(blockBytes, mostBytes + 1 - total));
      const { bytesRead } = await file.read(block, 0, block.length, null);
      if (bytesRead === 0) return Buffer.concat(blocks);
      blocks.push(block.subarray(0, bytesRead));
      total += bytesRead;
      if (total > mostBytes)
        throw new UnreadableFile(
          'too-large',
          `it has more than ${Math.round(mostBytes / 1e6)} MB, the limit`,
        );
    }
  } catch (error) {
    if (error instanceof UnreadableFile) throw error;
    const { code = '', message } = error as NodeJS.ErrnoException;
    throw new UnreadableFile(code, WORDS[code] ?? message, error);
  } finally {
    await file.close();
  }
}
