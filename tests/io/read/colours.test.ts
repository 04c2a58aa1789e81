import { readSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import sharp from 'sharp';
import { expect, test } from 'vitest';
import { decodeColours } from '../../../src/io/read/decode.ts';
import { inspectPicture } from '../../../src/io/read/inspect.ts';
import { emptyFolder } from './pictures.ts';

const pictures = join(import.meta.dirname, '../../../fixtures/pictures');
const folder = emptyFolder();

/** Red, green and blue of every pixel as stored, read from the planes. */
async function rgbOf(path: string): Promise<{ rgb: number[][]; widthPx: number; heightPx: number }> {
  const options = { maxPixels: 1e6, scratchDir: folder, colour: true };
  const inspection = await inspectPicture({ path, name: 'test' }, options);
  const { planes, facts, close } = await decodeColours(inspection);
  const { widthPx, heightPx } = facts;
  const read = planes.map(({ fd, offsetBytes, bytesPerSample }) => {
    expect(bytesPerSample).toBe(1);
    const plane = new Uint8Array(widthPx * heightPx);
    readSync(fd, plane, 0, plane.length, offsetBytes);
    return plane;
  });
  close();
  return { rgb: Array.from(read[0]!, (_, at) => read.map((plane) => plane[at]!)), widthPx, heightPx };
}

// The formulas the fixtures were drawn from; see fixtures/SOURCES.md.
const colour = (x: number, y: number) => [(x * 40) % 256, (y * 90) % 256, (x * y * 17 + 5) % 256];
const each = <T>(of: (x: number, y: number) => T): T[] =>
  Array.from({ length: 21 }, (_, at) => of(at % 7, Math.floor(at / 7)));

const worst = (rgb: readonly number[][], wanted: readonly number[][]): number =>
  Math.max(...rgb.flatMap((codes, at) => codes.map((code, k) => Math.abs(code - wanted[at]![k]!))));

test.each(['rgb24.bmp', 'pal8.bmp', 'rgb.ppm', 'rgb16.ppm'])('%s keeps its colours', async (file) => {
  const { rgb } = await rgbOf(join(pictures, file));
  expect(worst(rgb, each(colour))).toBe(0);
});

test.each(['rgba32.bmp', 'rgba.pam'])('%s lies half transparent over paper white', async (file) => {
  const { rgb } = await rgbOf(join(pictures, file));
  // half of 255 is 127 or 128 to different writers
  expect(
    worst(
      rgb,
      each((x, y) => colour(x, y).map((code) => (code + 255) / 2)),
    ),
  ).toBeLessThanOrEqual(1);
});

test('a grey picture has three planes alike', async () => {
  const { rgb } = await rgbOf(join(pictures, 'grey.pgm'));
  expect(
    worst(
      rgb,
      each((x, y) => Array.from({ length: 3 }, () => 30 * x + 20 * y)),
    ),
  ).toBe(0);
});

test('what the picture library reads: PNG with and without transparency, a drawing', async () => {
  const raw = Uint8Array.from(each((x, y) => [...colour(x, y), (x * 36) % 256]).flat());
  const file = join(folder, 'alpha.png');
  await sharp(raw, { raw: { width: 7, height: 3, channels: 4 } }).toFile(file);
  const { rgb } = await rgbOf(file);
  const over = each((x, y) => colour(x, y).map((code) => 255 + ((code - 255) * ((x * 36) % 256)) / 255));
  expect(worst(rgb, over)).toBeLessThanOrEqual(0.5);

  const drawing = join(folder, 'flat.svg');
  writeFileSync(
    drawing,
    '<svg xmlns="http://www.w3.org/2000/svg" width="40" height="20"><rect width="40" height="20" fill="#3d5a80"/></svg>',
  );
  const flat = await rgbOf(drawing);
  expect(
    worst(
      flat.rgb,
      flat.rgb.map(() => [0x3d, 0x5a, 0x80]),
    ),
  ).toBeLessThanOrEqual(0.5);
});
