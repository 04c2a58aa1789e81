import { closeSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { openScratch } from '../../src/io/scratch.ts';
import { emptyFolder } from './read/pictures.ts';

const file = join(emptyFolder(), 'grey.v');

interface Layout {
  magic?: number;
  widthPx?: number;
  heightPx?: number;
  bands?: number;
  format?: number;
  bytes?: number;
}

/** A header as libvips 8.18 writes it on a little-endian machine (libvips, doc/file-format.md). */
function written({
  magic = 0x08f2a6b6,
  widthPx = 3,
  heightPx = 2,
  bands = 1,
  format = 0,
  bytes = 6,
}: Layout) {
  const data = new DataView(new ArrayBuffer(64 + bytes));
  const words: [number, number][] = [
    [0, magic],
    [4, widthPx],
    [8, heightPx],
    [12, bands],
    [20, format],
  ];
  for (const [at, value] of words) data.setInt32(at, value, true);
  writeFileSync(file, new Uint8Array(data.buffer));
  return file;
}

test('a sound header is taken', () => {
  const scratch = openScratch(written({}));
  expect(scratch).toMatchObject({ widthPx: 3, heightPx: 2, bytesPerSample: 1, offsetBytes: 64 });
  closeSync(scratch.fd);
  const wide = openScratch(written({ format: 2, bytes: 12 }));
  expect(wide.bytesPerSample).toBe(2);
  closeSync(wide.fd);
});

test.each<Layout>([
  { magic: 0xb6a6f208 },
  { widthPx: 0 },
  { heightPx: -1 },
  { bands: 3, bytes: 18 },
  { bands: 9 },
  { format: 6 },
  { bytes: 5 },
  { format: 2, bytes: 11 },
])('%o is refused', (layout) => {
  expect(() => openScratch(written(layout))).toThrow('not laid out as expected');
});
