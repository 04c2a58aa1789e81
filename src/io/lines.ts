import { constants } from 'node:fs';
import { type FileHandle, open } from 'node:fs/promises';
import { EtchError } from '../core/errors.ts';
import { openNamed } from './named-file.ts';
import { outputError, systemCode } from './output-errors.ts';

const chunkBytes = 1 << 18;
// An entry has some thousand characters; of a longer line this much is kept, which is then no entry and told as torn.
const mostLineChars = 1 << 20;
const NEWLINE = 10;

const unreadable = (path: string, what: string, cause: unknown): EtchError =>
  new EtchError(
    'usage',
    'notebook-unreadable',
    `Reading the ${what} ${path}: ${systemCode(cause) === 'ENOENT' ? 'it is not there' : (cause as Error).message}`,
    'Check the name and the folder.',
    cause,
  );

/**
 * Reads a text file in bounded memory: arrays of whole lines, without their ends, as they come off the disk; the last
 * line need not be ended. `what` names the file in errors (EtchError of kind 'usage').
 */
export async function* linesOf(path: string, what: string): AsyncGenerator<string[]> {
  let file: FileHandle;
  try {
    file = await openNamed(path);
  } catch (error) {
    throw unreadable(path, what, error);
  }
  try {
    const chunk = new Uint8Array(chunkBytes);
    const decoder = new TextDecoder();
    let rest = '';
    for (;;) {
      const { bytesRead } = await file.read(chunk, 0, chunkBytes, null);
      if (bytesRead === 0) break;
      // joined again and again, a line without end would take the square of its length
      if (rest.length >= mostLineChars && !chunk.subarray(0, bytesRead).includes(NEWLINE)) continue;
      const pieces = (rest + decoder.decode(chunk.subarray(0, bytesRead), { stream: true })).split('\n');
      rest = pieces.pop()!;
      if (rest.length > mostLineChars) rest = rest.slice(0, mostLineChars);
      yield pieces;
    }
    rest += decoder.decode();
    if (rest !== '') yield [rest];
  } catch (error) {
    throw error instanceof EtchError ? error : unreadable(path, what, error);
  } finally {
    await file.close();
  }
}

/** A file that lines are added to and nothing else is done to. */
export interface LineSink {
  /** Adds one line in one write and makes sure that it is on the disk. Throws an EtchError of kind 'output'. */
  append(line: string): Promise<void>;
  close(): Promise<void>;
}

/** Opens a file that is there for adding lines, so that one that cannot be written is told before any work. */
export async function openLineSink(path: string): Promise<LineSink> {
  let file: FileHandle;
  try {
    // created by nobody but who means to: without O_CREAT a mistyped name is an error
    file = await open(path, constants.O_RDWR | constants.O_APPEND);
  } catch (error) {
    throw outputError(path, error);
  }
  return {
    async append(line) {
      try {
        // one write of the whole line, for the system puts each in one piece at the end, however many write;
        // what a killed writer left unended gets its end first, so that it spoils no other line
        const bytes = new TextEncoder().encode(`${(await isEnded(file)) ? '' : '\n'}${line}\n`);
        const { bytesWritten } = await file.write(bytes);
        if (bytesWritten < bytes.length) throw Object.assign(new Error('disk full'), { code: 'ENOSPC' });
        await file.sync();
      } catch (error) {
        throw outputError(path, error);
      }
    },
    close: () => file.close(),
  };
}

async function isEnded(file: FileHandle): Promise<boolean> {
  const { size } = await file.stat();
  if (size === 0) return true;
  const last = new Uint8Array(1);
  const { bytesRead } = await file.read(last, 0, 1, size - 1);
  return bytesRead === 0 || last[0] === NEWLINE;
}
