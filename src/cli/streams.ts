import { fstatSync, writeSync } from 'node:fs';
import { EtchError } from '../core/errors.ts';

const isFile = (fd: number): boolean => {
  try {
    return fstatSync(fd).isFile();
  } catch {
    return false;
  }
};

/**
 * All of it, or an error: node's own stream for files takes the part that a nearly full disk accepted for the whole
 * (measured with node 20: 207,000 bytes to a disk of 200 kB lost 2,200 without a word).
 */
function writeWhole(fd: number, bytes: Uint8Array): void {
  for (let at = 0; at < bytes.length; ) at += writeSync(fd, bytes, at);
}

/** Writes to standard output; false when it failed, which the listeners of its errors are told. */
function write(bytes: Uint8Array): Promise<boolean> {
  const { stdout } = process;
  if (!isFile(stdout.fd)) return new Promise((resolve) => stdout.write(bytes, (error) => resolve(!error)));
  try {
    writeWhole(stdout.fd, bytes);
    return Promise.resolve(true);
  } catch (error) {
    stdout.emit('error', error);
    return Promise.resolve(false);
  }
}

/** A result for people or scripts, on lines of its own. */
export const printText = (text: string): void =>
  void write(Buffer.from(text.endsWith('\n') ? text : `${text}\n`));

/** Bytes of a result, as fast as they are taken; the rest is left out when nobody takes them any more. */
export async function printBytes(pieces: AsyncIterable<Uint8Array>): Promise<void> {
  for await (const piece of pieces) if (!(await write(piece))) return;
}

/**
 * A reader who leaves (`| head -1`) is not an error: the rest is made all the same, unheard. Results that cannot
 * be written for another reason (a full disk) are handed to `onFault`, once; words for people that cannot be
 * are lost.
 */
export function watchStreams(onFault: (fault: EtchError) => void): void {
  process.stderr.on('error', () => undefined);
  let told = false;
  process.stdout.on('error', (error: NodeJS.ErrnoException) => {
    if (error.code === 'EPIPE' || told) return;
    told = true;
    const reason = error.code === 'ENOSPC' ? 'there is no space left on the disk' : error.message;
    const hint = 'Make room, or send it elsewhere.';
    onFault(new EtchError('output', 'stdout-failed', `Writing to standard output: ${reason}`, hint, error));
  });
}
