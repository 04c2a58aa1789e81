import { inflateSync } from 'node:zlib';
import fc from 'fast-check';
import { PNG } from 'pngjs';
import sharp from 'sharp';
import { describe, expect, test } from 'vitest';
import { png } from '../../../src/io/formats/png.ts';
import { hex, oracles } from './oracles.ts';
import { anyPlate, drawn, type Plate, readerOf, textOf, write } from './plates.ts';

interface Chunk {
  readonly type: string;
  readonly whole: Uint8Array;
  readonly data: Uint8Array;
}

function chunksOf(file: Uint8Array): Chunk[] {
  const bytes = Buffer.from(file);
  const chunks = [];
  for (let at = 8; at < bytes.length; ) {
    const end = at + 12 + bytes.readUInt32BE(at);
    const whole = bytes.subarray(at, end);
    chunks.push({ type: whole.toString('latin1', 4, 8), whole, data: whole.subarray(8, -4) });
    at = end;
  }
  return chunks;
}

const chunkOf = (file: Uint8Array, type: string): Chunk =>
  chunksOf(file).find((chunk) => chunk.type === type)!;

/** What the machine sees: "1" where the picture is black. */
const asBlack = (grey: ArrayLike<number>, widthPx: number, step: number): string[] =>
  Array.from({ length: grey.length / step / widthPx }, (_, y) =>
    Array.from({ length: widthPx }, (_, x) => (grey[(y * widthPx + x) * step] === 0 ? '1' : '0')).join(''),
  );

const tiny = oracles.png_tiny.rows;

describe('the picture of 10 by 3 pixels', () => {
  test('has the header and the rows computed from the standard', async () => {
    // its "1" is white; etched is what fires, so with fire "light" the bits are the same
    const file = await write(png, drawn(tiny, { fire: 'light', bandRows: 2 }));
    expect(hex(file.subarray(0, 8))).toBe('89504e470d0a1a0a'); // PNG 5.2
    expect(chunksOf(file).map(({ type }) => type)).toEqual(['IHDR', 'pHYs', 'IDAT', 'IDAT', 'IEND']);
    expect(hex(chunkOf(file, 'IHDR').whole)).toBe(oracles.png_tiny.ihdr_chunk);
    const stream = Buffer.concat(
      chunksOf(file)
        .filter(({ type }) => type === 'IDAT')
        .map(({ data }) => data),
    );
    expect(hex(inflateSync(stream))).toBe(oracles.png_tiny.filtered_stream_hex);
  });

  test('has the bits turned over, padding still 0, where dark fires', async () => {
    const file = await write(png, drawn(tiny));
    expect(hex(inflateSync(chunkOf(file, 'IDAT').data))).toBe('00' + '5300' + '00' + 'ffc0' + '00' + '0040');
  });

  test.each(Object.entries(oracles.pHYs_chunk_bytes))(
    'C07 says %s dpi in pixels a metre',
    async (dpi, bytes) => {
      const file = await write(png, drawn(tiny, { dpi: Number(dpi) }));
      expect(hex(chunkOf(file, 'pHYs').whole)).toBe(bytes);
      expect((await sharp(file).metadata()).density).toBe(Number(dpi));
    },
  );
});

describe('C01', () => {
  const readers: [string, (file: Uint8Array) => Promise<{ grey: ArrayLike<number>; step: number }>][] = [
    ['pngjs', async (file) => ({ grey: PNG.sync.read(Buffer.from(file)).data, step: 4 })],
    ['libvips', async (file) => ({ grey: await sharp(file).toColourspace('b-w').raw().toBuffer(), step: 1 })],
  ];

  test.each(readers)('%s sees the plate in 0 and 255 and nothing between', async (_name, decode) => {
    await fc.assert(
      fc.asyncProperty(anyPlate, async ({ head, etch }: Plate) => {
        const file = await write(png, { head, etch });
        expect([...chunkOf(file, 'IHDR').data.subarray(8)]).toEqual([1, 0, 0, 0, 0]);
        const { grey, step } = await decode(file);
        const values = new Set(Array.from({ length: grey.length / step }, (_, i) => grey[i * step]));
        expect([...values].every((value) => value === 0 || value === 255)).toBe(true);
        const etched = textOf(etch);
        const black =
          head.fire === 'dark'
            ? etched
            : etched.map((row) => row.replace(/./g, (bit) => (bit === '1' ? '0' : '1')));
        expect(asBlack(grey, head.widthPx, step)).toEqual(black);
      }),
      { seed: 1, numRuns: 40 },
    );
  });
});

test('a plate whose bands are cut elsewhere shows the same picture', async () => {
  const rows = Array.from({ length: 40 }, (_, y) =>
    Array.from({ length: 33 }, (_, x) => ((x * y) % 3 ? '1' : '0')).join(''),
  );
  const [one, seven] = await Promise.all([40, 7].map((bandRows) => write(png, drawn(rows, { bandRows }))));
  expect(PNG.sync.read(Buffer.from(one!)).data).toEqual(PNG.sync.read(Buffer.from(seven!)).data);
});

test('tone of 5,000 million pixels is found in its file, which unpacks to more than 32 bits count', () => {
  const head = { ...drawn(['1']).head, widthPx: 100_000, heightPx: 50_000, bandRows: 64 };
  const store = png.tone!;
  const paper = new Uint8Array(64 * head.widthPx);
  const [first, middle] = [0, 64].map((row) => store.encodeBand(paper, head, row));
  const bands = Math.ceil(head.heightPx / 64);
  const last = store.encodeBand(
    paper.subarray(0, (head.heightPx % 64) * head.widthPx),
    head,
    (bands - 1) * 64,
  );
  const grown = store.grow(head);
  const parts = [grown.start];
  for (let band = 0; band < bands; band++)
    parts.push(...grown.put(band === 0 ? first! : band === bands - 1 ? last : middle!));
  const file = Buffer.concat(parts);
  const located = store.locate(readerOf(file), file.length);
  expect([located.widthPx, located.heightPx, located.bands.length]).toEqual([100_000, 50_000, 782]);
  expect(located.bands.at(-1)).toMatchObject({ firstRow: 49_984, rows: 16 });
});
