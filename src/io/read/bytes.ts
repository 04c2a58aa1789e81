import { readSync } from 'node:fs';

/** Bytes read on demand from anywhere in a file or buffer. */
export interface ByteSource {
  readonly size: number;
  /** Up to `length` bytes from `offset` on; fewer at the end, none beyond it. */
  read(offset: number, length: number): DataView<ArrayBuffer>;
}

/** Reads from an open file. */
export function fileBytes(fd: number, size: number): ByteSource {
  return {
    size,
    read(offset, length) {
      const room = Math.max(0, Math.min(length, size - offset));
      const bytes = new Uint8Array(room);
      let got = 0;
      while (got < room) {
        const more = readSync(fd, bytes, got, room - got, offset + got);
        if (more === 0) break;
        got += more;
      }
      return new DataView(bytes.buffer, 0, got);
    },
  };
}

/** Reads from bytes already in memory. */
export function memoryBytes(bytes: Uint8Array): ByteSource {
  return {
    size: bytes.length,
    // Copied: the slice of a Buffer would still be a view of memory shared with others.
    read: (offset, length) => new DataView(new Uint8Array(bytes.subarray(offset, offset + length)).buffer),
  };
}

/** Bytes as Latin-1 text, for comparing signatures and names. */
export function latin1(view: DataView, offset = 0, length = view.byteLength - offset): string {
  let text = '';
  const end = Math.min(view.byteLength, offset + length);
  for (let at = offset; at < end; at++) text += String.fromCharCode(view.getUint8(at));
  return text;
}
