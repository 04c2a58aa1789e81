import { readSync, writeSync } from 'node:fs';
import { EtchError } from '../core/errors.ts';

const bytesOf = (data: ArrayBufferView) => new Uint8Array(data.buffer, data.byteOffset, data.byteLength);

/** Fills `data` from a scratch file; a file that ends early is an error, never filled in. */
export function readExactly(fd: number, data: ArrayBufferView, position: number): void {
  const bytes = bytesOf(data);
  let done = 0;
  while (done < bytes.length) {
    const got = readSync(fd, bytes, done, bytes.length - done, position + done);
    if (got === 0) {
      throw new EtchError(
        'output',
        'scratch-short',
        'The scratch file of the picture ended early.',
        'Make room in the temporary folder and try again.',
      );
    }
    done += got;
  }
}

/** Writes all of `data`; a full disk throws. */
export function writeExactly(fd: number, data: ArrayBufferView, position: number): void {
  const bytes = bytesOf(data);
  let done = 0;
  while (done < bytes.length) {
    done += writeSync(fd, bytes, done, bytes.length - done, position + done);
  }
}
