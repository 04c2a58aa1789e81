import { describe, expect, test } from 'vitest';
import { bmp } from '../../../src/io/formats/bmp.ts';
import { hex, oracles } from './oracles.ts';
import { drawn, write } from './plates.ts';

const tiny = oracles.png_tiny.rows;

test.each([1, 2, 3])(
  'the picture of 10 by 3 pixels in bands of %i gives the 74 bytes of the standard',
  async (bandRows) => {
    expect(hex(await write(bmp, drawn(tiny, { fire: 'light', bandRows })))).toBe(oracles.bmp_tiny.hex);
  },
);

test('where dark fires, bits are turned over and padding is still 0', async () => {
  const file = await write(bmp, drawn(tiny));
  expect(hex(file.subarray(62))).toBe('00400000' + 'ffc00000' + '53000000');
});

test.each(oracles.bmp_tiny.stride)('a row of %i pixels takes %i bytes', async (widthPx, bytes) => {
  expect((await write(bmp, drawn(['1'.repeat(widthPx)]))).length).toBe(62 + bytes);
});

describe('C05 an L of 33 by 17 pixels', () => {
  const rows = Array.from({ length: 17 }, (_, y) => (y < 15 ? '1'.padEnd(33, '0') : '1'.repeat(33)));

  test.each([
    [300, 11_811],
    [500, 19_685],
    [1000, 39_370],
  ])('at %i dpi has black first, 0 in the fourth byte and %i pixels a metre', async (dpi, perMetre) => {
    const file = Buffer.from(await write(bmp, drawn(rows, { dpi, bandRows: 5 })));
    expect(file.length).toBe(62 + 17 * 8);
    expect(file.toString('hex', 54, 62)).toBe('00000000ffffff00');
    expect([file.readInt32LE(18), file.readInt32LE(22)]).toEqual([33, 17]);
    expect([file.readInt32LE(38), file.readInt32LE(42)]).toEqual([perMetre, perMetre]);
    // the foot of the L comes first; etched is black is 0, and white is 1 up to pixel 33
    expect(file.toString('hex', 62, 70)).toBe('0000000000000000');
    expect(file.toString('hex', file.length - 8)).toBe('7fffffff80000000');
  });
});

test.each([1, 2, 3])('put from its end in bands of %i rows, it is the same file', async (bandRows) => {
  const plate = drawn(tiny, { bandRows });
  const grown = bmp.grow!(plate.head);
  const file = new Uint8Array(62 + 3 * 4);
  file.set(grown.start);
  for (let row = 0; row < 3; row += bandRows) {
    const rows = plate.etch.data.subarray(row * 2, (row + bandRows) * 2);
    const band = bmp.encodeBand(rows, plate.head, row);
    file.set(band.bytes, grown.placeOf!(band));
  }
  expect(hex(file)).toBe(hex(await write(bmp, plate)));
});

test('refuses a file of more than 4 GiB', () => {
  const { head } = drawn(['1']);
  const plate = { ...head, widthPx: 262_144, heightPx: 131_072 };
  expect(() => bmp.assemble(plate, [])).toThrow(
    expect.objectContaining({ name: 'EtchError', kind: 'output', code: 'bmp-too-large' }),
  );
});
