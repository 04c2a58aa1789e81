import type { ByteSource } from '../bytes.ts';

/** Reads on from a place, a block at a time. */
export interface ByteStream {
  /** The next byte; −1 at the end. */
  next(): number;
  /** The next `length` bytes; fewer at the end. */
  take(length: number): Uint8Array;
  skip(length: number): void;
  /** Where the next byte lies. */
  place(): number;
}

const blockBytes = 1 << 16;

export function byteStream(source: ByteSource, start: number): ByteStream {
  let block = new Uint8Array(0);
  let blockAt = start;
  let at = start;
  const load = (length: number) => {
    const view = source.read(at, Math.max(length, blockBytes));
    block = new Uint8Array(view.buffer, view.byteOffset, view.byteLength);
    blockAt = at;
  };
  return {
    next() {
      if (at - blockAt >= block.length) load(1);
      const byte = block[at - blockAt];
      if (byte === undefined) return -1;
      at++;
      return byte;
    },
    take(length) {
      if (at - blockAt + length > block.length) load(length);
      const bytes = block.subarray(at - blockAt, at - blockAt + length);
      at += bytes.length;
      return bytes;
    },
    skip(length) {
      at += length;
      // Beyond the block the next read loads afresh.
      if (at - blockAt > block.length) block = new Uint8Array(0);
      if (block.length === 0) blockAt = at;
    },
    place: () => at,
  };
}
