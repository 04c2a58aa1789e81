import { readdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { crc32, deflateSync } from 'node:zlib';
import sharp from 'sharp';
import { describe, expect, test } from 'vitest';
import { emptyFolder, greyOf, type Opening, openAny } from './pictures.ts';

const folder = emptyFolder();
const scratchDir = emptyFolder();

function file(bytes: Uint8Array): string {
  const path = join(folder, 'made');
  writeFileSync(path, bytes);
  return path;
}

const opened = async (bytes: Uint8Array, opening?: Opening) =>
  openAny(file(bytes), { scratchDir, ...opening });

const noise = sharp(
  Uint8Array.from({ length: 120 * 90 * 3 }, (_, at) => (Math.imul(at + 1, 0x9e3779b1) >>> 24) & 255),
  { raw: { width: 120, height: 90, channels: 3 } },
);
const encoded: Record<string, () => Promise<Buffer>> = {
  'a lossy WebP': () => noise.clone().webp().toBuffer(),
  'a lossless WebP': () => noise.clone().webp({ lossless: true }).toBuffer(),
  'an AVIF': () => noise.clone().avif({ effort: 1 }).toBuffer(),
  'a GIF': () => noise.clone().gif().toBuffer(),
  'a progressive JPEG': () => noise.clone().jpeg({ progressive: true }).toBuffer(),
  'an interlaced PNG': () => noise.clone().png({ progressive: true }).toBuffer(),
  'a TIFF in tiles': () => noise.clone().tiff({ tile: true, compression: 'deflate' }).toBuffer(),
  'a TIFF in LZW strips': () => noise.clone().tiff({ compression: 'lzw' }).toBuffer(),
};

test.each(Object.keys(encoded))('C29 %s is read whole and refused cut', async (kind) => {
  const whole = await encoded[kind]!();
  expect(greyOf(await opened(whole))).toMatchObject({ widthPx: 120, heightPx: 90 });
  for (const share of [0.97, 0.7, 0.3]) {
    const cut = opened(whole.subarray(0, Math.floor(whole.length * share)));
    await expect(cut).rejects.toMatchObject({ kind: 'input', code: 'picture-corrupt' });
  }
  expect(readdirSync(scratchDir)).toEqual([]);
});

describe('frames', () => {
  const shades = [0, 128, 255].map((v) =>
    sharp({ create: { width: 20, height: 10, channels: 3, background: { r: v, g: v, b: v } } })
      .png()
      .toBuffer(),
  );
  test.each(['gif', 'webp'] as const)(
    'the first of a moving %s, unless another is asked for',
    async (kind) => {
      const animated = sharp(await Promise.all(shades), { join: { animated: true } });
      const bytes = await animated.toFormat(kind, { lossless: true }).toBuffer();
      for (const [page, code] of [
        [undefined, 0],
        [2, 128],
        [3, 255],
      ] as const) {
        const picture = await opened(bytes, page === undefined ? {} : { page });
        expect(picture.facts).toMatchObject({ widthPx: 20, heightPx: 10, frames: 3, frame: page ?? 1 });
        expect(picture.facts.cautions[0]).toMatchObject({ code: 'picture-frames', value: 3 });
        expect(greyOf(picture).at(5, 5)).toBe(code);
      }
      await expect(opened(bytes, { page: 4 })).rejects.toMatchObject({ code: 'no-such-page' });
    },
  );

  test('of a moving PNG only the first can be read, and a wish for another says so', async () => {
    const still = await shades[1]!;
    // PNG, third edition, 11.3.6.1: acTL holds the number of frames and of plays
    const counts = new Uint8Array([0, 0, 0, 3, 0, 0, 0, 0]);
    const control = chunk('acTL', counts, crc32(counts, crc32('acTL')));
    const moving = Buffer.concat([still.subarray(0, 33), control, still.subarray(33)]);
    expect((await opened(moving)).facts.cautions[0]).toMatchObject({ code: 'picture-frames', value: 3 });
    await expect(opened(moving, { page: 2 })).rejects.toMatchObject({
      code: 'no-such-page',
      message: expect.stringContaining('only the first of the file’s 3 frames'),
    });
  });
});

describe('AVIF', () => {
  test.each([8, 10, 12] as const)('%i bit: black is 0 and white is full', async (bitdepth) => {
    const ends = Uint16Array.from({ length: 64 * 16 * 3 }, (_, at) => (at % 192 < 96 ? 0 : 65535));
    const png = await sharp(ends, { raw: { width: 64, height: 16, channels: 3 } })
      .toColourspace('rgb16')
      .png()
      .toBuffer();
    const bytes = await sharp(png)
      .toColourspace(bitdepth === 8 ? 'srgb' : 'rgb16')
      .avif({ bitdepth, lossless: true, effort: 1 })
      .toBuffer();
    const picture = await opened(bytes);
    expect(picture.facts).toMatchObject({ format: 'avif', depthBits: bitdepth === 8 ? 8 : 16 });
    const grey = greyOf(picture);
    expect([grey.at(5, 5), grey.at(60, 5)]).toEqual([0, 255]);
  });
});

/** A PNG chunk (PNG, third edition, 5.3) without a sound checksum where none is given. */
function chunk(type: string, data: Uint8Array, crc = 0): Uint8Array {
  const bytes = Buffer.alloc(12 + data.length);
  bytes.writeUInt32BE(data.length);
  bytes.write(type, 4, 'latin1');
  bytes.set(data, 8);
  bytes.writeUInt32BE(crc, 8 + data.length);
  return bytes;
}

describe('hostile files', () => {
  const png = (...chunks: Uint8Array[]) =>
    Buffer.concat([Buffer.from('\x89PNG\r\n\x1a\n', 'latin1'), ...chunks]);
  // 60,000 × 60,000 px of 8-bit grey; the checksum of this header by the CRC of PNG annex D.
  const header = Buffer.from('0000ea600000ea600800000000', 'hex');
  const crcOf = (type: string, data: Uint8Array) => {
    let crc = 0xffffffff;
    for (const byte of Buffer.concat([Buffer.from(type, 'latin1'), data])) {
      crc ^= byte;
      for (let bit = 0; bit < 8; bit++) crc = crc & 1 ? (crc >>> 1) ^ 0xedb88320 : crc >>> 1;
    }
    return (crc ^ 0xffffffff) >>> 0;
  };
  const sound = (type: string, data: Uint8Array) => chunk(type, data, crcOf(type, data));

  test('a small file of 3.6 thousand million pixels is refused from its header', async () => {
    const bomb = png(
      sound('IHDR', header),
      sound('IDAT', deflateSync(Buffer.alloc(1000))),
      sound('IEND', Buffer.alloc(0)),
    );
    const started = performance.now();
    await expect(opened(bomb)).rejects.toMatchObject({ code: 'picture-too-large' });
    expect(performance.now() - started).toBeLessThan(1000);
  });

  test('a file of empty chunks, or of markers without end, ends soon', async () => {
    const empty = Buffer.concat(Array(200_000).fill(sound('teSt', Buffer.alloc(0))));
    const started = performance.now();
    await expect(opened(png(sound('IHDR', header), empty))).rejects.toMatchObject({ kind: 'input' });
    await expect(opened(Buffer.from([0xff, 0xd8, ...Array(400_000).fill(0xff)]))).rejects.toMatchObject({
      kind: 'input',
    });
    const segments = Buffer.concat([
      Buffer.from([0xff, 0xd8]),
      ...Array(200_000).fill(Buffer.from([0xff, 0xe1, 0, 2])),
    ]);
    await expect(opened(segments)).rejects.toMatchObject({ kind: 'input' });
    expect(performance.now() - started).toBeLessThan(5000);
  });

  test('a TIFF whose pages go round in a circle ends soon', async () => {
    const { tiffOf } = await import('./tiff-maker.ts');
    const circle = tiffOf({
      widthPx: 2,
      heightPx: 1,
      bits: [8],
      photometric: 1,
      data: new Uint8Array([1, 200]),
    });
    const entries = circle[8]!;
    new DataView(circle.buffer).setUint32(8 + 2 + entries * 12, 8, true);
    const started = performance.now();
    await expect(opened(circle)).rejects.toMatchObject({ kind: 'input' });
    expect(performance.now() - started).toBeLessThan(5000);
  });

  test('noise behind each signature ends cleanly', async () => {
    const signatures = [
      '\x89PNG\r\n\x1a\n',
      '\xff\xd8\xff',
      'II*\0',
      'MM\0*',
      'II+\0',
      'RIFF\x40\0\0\0WEBP',
      'GIF89a',
      '\0\0\0\x20ftypavif',
      'BM',
      'P5 ',
      'P7\n',
      '<svg ',
    ];
    for (const [index, signature] of signatures.entries()) {
      const rest = Uint8Array.from({ length: 3000 }, (_, at) => Math.imul(at + 7 * index, 0x85ebca6b) >>> 24);
      const bytes = Buffer.concat([Buffer.from(signature, 'latin1'), rest]);
      await expect(opened(bytes), JSON.stringify(signature)).rejects.toMatchObject({ kind: 'input' });
    }
    expect(readdirSync(scratchDir)).toEqual([]);
  });
});

describe('range', () => {
  const flat = (dark: number, light: number) =>
    sharp(
      Uint8Array.from({ length: 40 * 40 }, (_, at) => (at % 2 ? dark : light)),
      { raw: { width: 40, height: 40, channels: 1 } },
    )
      .toColourspace('b-w')
      .png()
      .toBuffer();
  test.each([
    [100, 180, ['picture-little-range']],
    [77, 77, ['picture-flat']],
    [60, 200, []],
    [0, 255, []],
  ])('greys %i to %i', async (dark, light, wanted) => {
    const { facts, close } = await opened(await flat(dark, light));
    close();
    expect(facts.cautions.map(({ code }) => code)).toEqual(wanted);
  });

  test('a speck of dust does not make a range', async () => {
    const codes = Buffer.alloc(100 * 100, 128);
    codes[17] = 0;
    codes[99] = 255;
    const bytes = await sharp(codes, { raw: { width: 100, height: 100, channels: 1 } })
      .toColourspace('b-w')
      .png()
      .toBuffer();
    const { facts, close } = await opened(bytes);
    close();
    expect(facts.cautions.map(({ code }) => code)).toEqual(['picture-flat']);
  });
});
