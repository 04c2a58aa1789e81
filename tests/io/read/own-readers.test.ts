import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { emptyFolder, greyOf, greyOfSrgb, openAny } from './pictures.ts';

const pictures = join(import.meta.dirname, '../../../fixtures/pictures');
const folder = emptyFolder();
const sizes = { widthPx: 7, heightPx: 3 };

// The formulas the fixtures were drawn from; see fixtures/SOURCES.md.
const colour = (x: number, y: number) => [(x * 40) % 256, (y * 90) % 256, (x * y * 17 + 5) % 256];
const overPaper = (codes: readonly number[], alpha: number) =>
  codes.map((code) => code * alpha + 255 * (1 - alpha));

async function worst(file: string, wanted: (x: number, y: number) => number): Promise<number> {
  const picture = await openAny(join(pictures, file));
  expect(picture.facts).toMatchObject(sizes);
  const grey = greyOf(picture);
  let most = 0;
  for (let y = 0; y < 3; y++)
    for (let x = 0; x < 7; x++) most = Math.max(most, Math.abs(grey.at(x, y) - wanted(x, y)));
  return most;
}

describe('pictures written by others', () => {
  test.each(['rgb24.bmp', 'core.bmp', 'pal8.bmp', 'rgb.ppm', 'rgbtext.ppm', 'rgb16.ppm'])(
    '%s',
    async (file) => {
      expect(await worst(file, (x, y) => greyOfSrgb(colour(x, y)))).toBeLessThanOrEqual(0.6);
    },
  );

  test('rgb565.bmp, whose colours have 5 and 6 bits', async () => {
    // Half a step of 5 bits is 4 codes; luminance of the darkest patches stretches it.
    expect(await worst('rgb565.bmp', (x, y) => greyOfSrgb(colour(x, y)))).toBeLessThanOrEqual(8);
  });

  test.each(['rgba32.bmp', 'rgba.pam'])('%s is half transparent over paper', async (file) => {
    // Half of 255 is 127 or 128 to different writers.
    const wanted = (x: number, y: number) => greyOfSrgb(overPaper(colour(x, y), 127.5 / 255));
    expect(await worst(file, wanted)).toBeLessThanOrEqual(1);
  });

  test.each(['grey.pgm', 'greytext.pgm'])('%s', async (file) => {
    expect(await worst(file, (x, y) => 30 * x + 20 * y)).toBe(0);
  });

  test.each(['one.bmp', 'bi.pbm', 'bitext.pbm'])('%s', async (file) => {
    expect(await worst(file, (x, y) => (30 * x + 20 * y > 127.5 ? 255 : 0))).toBe(0);
  });

  test('the resolution of a BMP is a whole number of pixels a metre', async () => {
    const { facts, close } = await openAny(join(pictures, 'dense.bmp'));
    close();
    expect(facts.ppiX).toBeCloseTo(11811 * 0.0254, 1);
    expect(facts.ppiY).toBeCloseTo(5906 * 0.0254, 1);
    expect(facts.cautions.map(({ code }) => code)).toContain('picture-resolution-unequal');
  });
});

interface Bmp {
  width: number;
  height: number;
  bits: number;
  compression?: number;
  extra?: readonly number[];
  data: readonly number[];
}

/** A BMP with a 40-byte header (MS-WMF 2.2.2.3); `extra` is masks or palette. */
function bmp({ width, height, bits, compression = 0, extra = [], data }: Bmp): Uint8Array {
  const bytes = new Uint8Array(54 + extra.length + data.length);
  const view = new DataView(bytes.buffer);
  bytes.set([0x42, 0x4d]);
  view.setUint32(10, 54 + extra.length, true);
  view.setUint32(14, 40, true);
  view.setInt32(18, width, true);
  view.setInt32(22, height, true);
  view.setUint16(26, 1, true);
  view.setUint16(28, bits, true);
  view.setUint32(30, compression, true);
  bytes.set(extra, 54);
  bytes.set(data, 54 + extra.length);
  return bytes;
}

const rowsOf = async (bytes: Uint8Array | string): Promise<number[][]> => {
  const file = join(folder, 'made');
  writeFileSync(file, bytes);
  const grey = greyOf(await openAny(file));
  return Array.from({ length: grey.heightPx }, (_, y) =>
    Array.from({ length: grey.widthPx }, (_, x) => grey.raw(x, y)),
  );
};

const refusal = (bytes: Uint8Array | string) =>
  rowsOf(bytes).then(
    () => undefined,
    (error) => error.code,
  );

// Index i is grey i (8 bit) or 17 i (4 bit).
const ramp = (entries: number) =>
  Array.from({ length: entries }, (_, i) =>
    Array<number>(3)
      .fill((i * 255) / (entries - 1))
      .concat(0),
  ).flat();

describe('run-length codes, by the examples of the format (Windows GDI, "Bitmap Compression")', () => {
  const width = 20;
  const bottomUp = (...rows: number[][]) =>
    rows.map((row) => [...row, ...Array(width - row.length).fill(0)]).reverse();

  test('8 bit', async () => {
    const data = '03 04 05 06 00 03 45 56 67 00 02 78 00 02 05 01 02 78 00 00 09 1E 00 01';
    const bytes = bmp({
      width,
      height: 3,
      bits: 8,
      compression: 1,
      extra: ramp(256),
      data: data.split(' ').map((byte) => Number.parseInt(byte, 16)),
    });
    expect(await rowsOf(bytes)).toEqual(
      bottomUp(
        [4, 4, 4, 6, 6, 6, 6, 6, 0x45, 0x56, 0x67, 0x78, 0x78],
        [...Array(18).fill(0), 0x78, 0x78],
        Array(9).fill(0x1e),
      ),
    );
  });

  test('4 bit', async () => {
    const data = '03 04 05 06 00 06 45 56 67 00 04 78 00 02 05 01 04 78 00 00 09 1E 00 01';
    const bytes = bmp({
      width: 27,
      height: 3,
      bits: 4,
      compression: 2,
      extra: ramp(16),
      data: data.split(' ').map((byte) => Number.parseInt(byte, 16)),
    });
    const rows = (await rowsOf(bytes)).map((row) => row.map((code) => code / 17));
    const padded = (row: number[]) => [...row, ...Array(27 - row.length).fill(0)];
    expect(rows).toEqual([
      padded([1, 14, 1, 14, 1, 14, 1, 14, 1]),
      padded([...Array(23).fill(0), 7, 8, 7, 8]),
      padded([0, 4, 0, 0, 6, 0, 6, 0, 4, 5, 5, 6, 6, 7, 7, 8, 7, 8]),
    ]);
  });

  test('that end early are refused', async () => {
    expect(
      await refusal(bmp({ width, height: 3, bits: 8, compression: 1, extra: ramp(256), data: [3, 4, 5] })),
    ).toBe('picture-corrupt');
  });
});

describe('BMP', () => {
  test('rows from the top, 5 bits a colour, masks of any place', async () => {
    const white = [0xff, 0x7f];
    const black = [0, 0];
    expect(
      await rowsOf(bmp({ width: 2, height: -2, bits: 16, data: [...white, ...black, ...black, ...white] })),
    ).toEqual([
      [255, 0],
      [0, 255],
    ]);
    const masks = [0, 0, 0, 0xff, 0, 0, 0xff, 0, 0, 0xff, 0, 0];
    const red = [0, 0, 0, 255];
    expect(
      await rowsOf(
        bmp({ width: 2, height: 1, bits: 32, compression: 3, extra: masks, data: [...red, 7, 9, 9, 9] }),
      ),
    ).toEqual([[127, 9]]);
  });

  test('the fourth byte of plain 32-bit pixels means nothing', async () => {
    expect(
      await rowsOf(bmp({ width: 2, height: 1, bits: 32, data: [50, 50, 50, 0, 50, 50, 50, 255] })),
    ).toEqual([[50, 50]]);
  });

  test.each([
    ['cut', readFileSync(join(pictures, 'rgb24.bmp')).subarray(0, 100), 'picture-corrupt'],
    ['cut in its header', readFileSync(join(pictures, 'rgb24.bmp')).subarray(0, 30), 'picture-corrupt'],
    ['of no width', bmp({ width: 0, height: 1, bits: 24, data: [0, 0, 0, 0] }), 'picture-corrupt'],
    ['larger than its file', bmp({ width: 100_000, height: 100_000, bits: 8, data: [] }), 'picture-corrupt'],
    [
      'run-length coded, too large',
      bmp({ width: 100_000, height: 100_000, bits: 8, compression: 1, data: [0, 1] }),
      'picture-too-large',
    ],
    [
      'holding a PNG',
      bmp({ width: 1, height: 1, bits: 0, compression: 5, data: [] }),
      'picture-not-supported',
    ],
  ])('%s is refused', async (_, bytes, code) => expect(await refusal(bytes)).toBe(code));
});

describe('PNM', () => {
  test('comments, values below the most, digits without spaces', async () => {
    expect(await rowsOf('P2 # a\n# b\n3 1\n# c\n 10\n0 5 # d\n 10')).toEqual([[0, 128, 255]]);
    expect(await rowsOf('P1\n4 2\n0110\n1001')).toEqual([
      [255, 0, 0, 255],
      [0, 255, 255, 0],
    ]);
    expect(await rowsOf('P2 2 1 1023 0 1023')).toEqual([[0, 65535]]);
  });

  test('grey with transparency', async () => {
    const head = 'P7\nWIDTH 2\nHEIGHT 1\nDEPTH 2\nMAXVAL 255\nTUPLTYPE GRAYSCALE_ALPHA\nENDHDR\n';
    expect(await rowsOf(Buffer.concat([Buffer.from(head), Buffer.from([40, 255, 40, 0])]))).toEqual([
      [40, 255],
    ]);
  });

  test.each([
    ['cut', readFileSync(join(pictures, 'rgb.ppm')).subarray(0, 60), 'picture-corrupt'],
    ['cut text', 'P2 3 1 255 0 5 ', 'picture-corrupt'],
    ['with letters for numbers', 'P2 3 1 255 0 5 x', 'picture-corrupt'],
    ['with no height', 'P5 3 0 255 ', 'picture-corrupt'],
    // pgm(5): each value is between zero and the most, inclusive
    ['with a number above its most', 'P2 2 1 255 0 300', 'picture-corrupt'],
    ['with a byte above its most', 'P5 2 1 100 d\x65', 'picture-corrupt'],
    ['larger than its file', 'P5 99999 99999 255 ', 'picture-corrupt'],
    [
      'of five channels',
      'P7\nWIDTH 1\nHEIGHT 1\nDEPTH 5\nMAXVAL 255\nENDHDR\n12345',
      'picture-not-supported',
    ],
  ])('%s is refused', async (_, bytes, code) => expect(await refusal(bytes)).toBe(code));
});
