import { PNG } from 'pngjs';
import { expect, test } from 'vitest';
import { type RgbRows, rowsOf } from '../../src/core/proof/proof.ts';
import {
  encodeProofBand,
  PROOF_BAND_ROWS,
  proofBandOf,
  proofBandRoom,
  proofBandsIn,
  proofPngBack,
  proofPngFront,
} from '../../src/io/proof-png.ts';

/** A picture whose every byte tells its place. */
function picture(widthPx: number, heightPx: number, ppi: number): RgbRows {
  const write: RgbRows['write'] = (fromRow, toRow, into, at, strideBytes) => {
    for (let y = fromRow; y < toRow; y++)
      for (let i = 0; i < widthPx * 3; i++) {
        const place = y * widthPx * 3 + i;
        into[at + (y - fromRow) * strideBytes + i] = (place * place + (place >> 7)) & 0xff;
      }
  };
  return { widthPx, heightPx, ppi, write };
}

function written(rows: RgbRows): Buffer {
  const room = proofBandRoom(rows.widthPx);
  const bands = Array.from({ length: proofBandsIn(rows.heightPx) }, (_, band) =>
    encodeProofBand(proofBandOf(rows, band, room), band, room),
  );
  return Buffer.concat([proofPngFront(rows), ...bands.map(({ bytes }) => bytes), proofPngBack(bands)]);
}

test.each([1, PROOF_BAND_ROWS - 1, PROOF_BAND_ROWS, PROOF_BAND_ROWS + 1, 3 * PROOF_BAND_ROWS])(
  'another reader finds the pixels of %s rows',
  (heightPx) => {
    const rows = picture(37, heightPx, 200);
    const { width, height, data } = PNG.sync.read(written(rows));
    expect([width, height]).toEqual([37, heightPx]);
    const rgb = data.filter((_, i) => i % 4 !== 3);
    expect(Buffer.compare(rgb, rowsOf(rows, 0, heightPx))).toBe(0);
  },
);

// PNG (ISO/IEC 15948): signature, then IHDR of 13 bytes, sRGB of 1 byte, pHYs of 9. 200 / 0.0254 = 7874.016
test('states its size, sRGB and the resolution', () => {
  const file = written(picture(5, 3, 200));
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
