import { PNG } from 'pngjs';
import { expect, test } from 'vitest';
import type { RgbRows } from '../../src/core/proof/proof.ts';
import { PROOF_BAND_ROWS, writeProofPng } from '../../src/io/proof-png.ts';

/** A picture whose every byte tells its place. */
function picture(widthPx: number, heightPx: number, ppi: number): RgbRows {
  const rows = (fromRow: number, toRow: number): Uint8Array =>
    Uint8Array.from({ length: (toRow - fromRow) * widthPx * 3 }, (_, i) => {
      const at = i + fromRow * widthPx * 3;
      return (at * at + (at >> 7)) & 0xff;
    });
  return { widthPx, heightPx, ppi, rows };
}

async function written(rows: RgbRows): Promise<Buffer> {
  const pieces: Uint8Array[] = [];
  const write = async (more: readonly Uint8Array[]): Promise<void> => void pieces.push(...more);
  await writeProofPng(rows, write, new AbortController().signal);
  return Buffer.concat(pieces);
}

test.each([1, PROOF_BAND_ROWS - 1, PROOF_BAND_ROWS, PROOF_BAND_ROWS + 1, 3 * PROOF_BAND_ROWS])(
  'another reader finds the pixels of %s rows',
  async (heightPx) => {
    const rows = picture(37, heightPx, 200);
    const { width, height, data } = PNG.sync.read(await written(rows));
    expect([width, height]).toEqual([37, heightPx]);
    const rgb = data.filter((_, i) => i % 4 !== 3);
    expect(Buffer.compare(rgb, rows.rows(0, heightPx))).toBe(0);
  },
);

// PNG (ISO/IEC 15948): signature, then IHDR of 13 bytes, sRGB of 1 byte, pHYs of 9. 200 / 0.0254 = 7874.016
test('states its size, sRGB and the resolution', async () => {
  const file = await written(picture(5, 3, 200));
  const chunks: [string, string][] = [];
  for (let at = 8; at < file.length; at += 12 + file.readUInt32BE(at)) {
    const bytes = file.readUInt32BE(at);
    chunks.push([file.toString('latin1', at + 4, at + 8), file.toString('hex', at + 8, at + 8 + bytes)]);
  }
  expect(chunks.map(([type]) => type)).toEqual(['IHDR', 'sRGB', 'pHYs', 'IDAT', 'IDAT', 'IEND']);
  expect(chunks[0]![1]).toBe('00000005000000030802000000');
  expect(chunks[1]![1]).toBe('01');
  expect(chunks[2]![1]).toBe('00001ec200001ec201');
});

test('stops between bands when asked to', async () => {
  const stop = new AbortController();
  const write = async (): Promise<void> => stop.abort(new Error('asked to'));
  await expect(writeProofPng(picture(5, 300, 200), write, stop.signal)).rejects.toThrow('asked to');
});
