/** Plates in every container, as other readers see them. */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { pngChunks, rowsOf, seenInPng, seenInTiff, shareOfBlack } from '../run/judges.ts';
import { corpus, greyPng, save } from '../run/pictures.ts';
import { cli, freshPlace } from './run-cli.ts';

const place = freshPlace();
const file = (name: string): Buffer => readFileSync(join(place.path, name));

/** The picture of 10 × 3 pixels: 1 is white. */
const TINY = ['1010110011', '0000000000', '1111111110'];
const tiny = () =>
  save(
    place.path,
    'tiny.png',
    greyPng(10, 3, (x, y) => (TINY[y]![x] === '1' ? 255 : 0)),
  );
const turned = (rows: readonly string[]) => rows.map((row) => row.replace(/./g, (bit) => `${1 - +bit}`));

// 10 × 3 px at 50 dpi
const TINY_SIZE = ['--width', '5.08', '--height', '1.524', '--dpi', '50', '--facing', 'print'];

test('checks 2 and 3: one picture of 10 × 3 px, the same from PNG and TIFF, for both processes', async () => {
  const plain = [tiny(), ...TINY_SIZE, '--screen', 'threshold', '--cap', '100', '--format', 'png,tiff'];
  for (const process of ['intaglio', 'relief']) {
    const { code, err } = await cli(place, ['prepare', ...plain, '--process', process, '--name', process]);
    expect(code, err).toBe(0);
    const png = seenInPng(file(`${process}.plate.png`));
    const tiff = seenInTiff(file(`${process}.plate.tif`));
    // black is fired on: the ink of an intaglio plate, the paper of a relief block
    const black = process === 'intaglio' ? turned(TINY) : TINY;
    expect(rowsOf(png)).toEqual(black);
    expect(rowsOf(tiff)).toEqual(black);
  }
});

test('check 2: the resolution at 500 dpi is 19685 px a metre in PNG, 500/1 an inch in TIFF', async () => {
  const args = [
    'prepare',
    corpus('good/gen-wedge21.png'),
    '--process',
    'relief',
    '--width',
    '20',
    '--name',
    'a',
  ];
  expect((await cli(place, [...args, '--format', 'png,tiff'])).code).toBe(0);
  const chunks = pngChunks(file('a.plate.png'));
  // PNG 11.3.5.3: two uint32 and the unit 1, the metre
  expect(chunks.find(({ type }) => type === 'pHYs')?.data.toString('hex')).toBe('00004ce500004ce501');
  expect(new Set(chunks.map(({ type }) => type))).toEqual(new Set(['IHDR', 'pHYs', 'IDAT', 'IEND']));
  const { tags } = seenInTiff(file('a.plate.tif'));
  expect([tags.t282, tags.t283, tags.t296]).toEqual([[500], [500], [2]]);
});

describe('C01, C07 one bit a pixel, and the size asked for', () => {
  test.each([300, 500, 600, 1000, 1200])('at %d dpi', async (dpi) => {
    const args = ['prepare', corpus('good/gen-wedge21.png'), '--process', 'intaglio', '--width', '100mm'];
    const shape = ['--height', '5mm', '--fit', 'fill', '--dpi', String(dpi), '--name', 'a'];
    const { code, err } = await cli(place, [...args, ...shape, '--format', 'png,tiff']);
    expect(code, err).toBe(0);
    const png = seenInPng(file('a.plate.png'));
    const tiff = seenInTiff(file('a.plate.tif'));
    // PNG 11.2.2 and TIFF 6.0, tags 258 and 277 (default 1): grey, one bit, one sample
    expect([png.depth, png.colourType]).toEqual([1, 0]);
    expect([tiff.tags.t258 ?? [1], tiff.tags.t277 ?? [1]]).toEqual([[1], [1]]);
    expect(Buffer.from(tiff.black).equals(Buffer.from(png.black))).toBe(true);

    const perMetre = pngChunks(file('a.plate.png')).find(({ type }) => type === 'pHYs')!.data;
    const mmOf = {
      png: png.widthPx / (perMetre.readUInt32BE(0) / 1000),
      tiff: (tiff.widthPx / tiff.tags.t282![0]!) * 25.4,
    };
    for (const mm of Object.values(mmOf)) expect(Math.abs(mm - 100)).toBeLessThan(25.4 / dpi);
    const down = png.heightPx / (perMetre.readUInt32BE(4) / 1000);
    expect(Math.abs(down - 5)).toBeLessThan(25.4 / dpi);
    expect(perMetre.readUInt32BE(0)).toBe(Math.round(dpi / 0.0254));
    expect(tiff.tags.t282).toEqual([dpi]);
    expect(tiff.tags.t274 ?? [1]).toEqual([1]);
  });
});

describe('check 5, C23 solids and paper', () => {
  const flat = (code: string, ...rest: string[]) =>
    cli(place, ['prepare', corpus(`good/gen-flat-${code}.png`), '--width', '20', '--name', 'a', ...rest]);

  test('black at the usual cap of 80 % is 80 % marks, with paper between them everywhere', async () => {
    expect((await flat('000', '--process', 'intaglio')).code).toBe(0);
    const plate = seenInPng(file('a.plate.png'));
    expect(plate.widthPx).toBe(394);
    expect(Math.abs(shareOfBlack(plate) - 0.8)).toBeLessThan(0.006);
    // lands come every five pixels on average; a run of 25 would be an open bite beginning
    const rows = rowsOf(plate);
    const columns = Array.from({ length: 394 }, (_, x) => rows.map((row) => row[x]).join(''));
    for (const line of [...rows, ...columns]) expect(line).not.toMatch(/1{25}/);
  });

  test.each([
    ['255', 'intaglio', '80', 0],
    ['255', 'intaglio', '100', 0],
    ['255', 'relief', '100', 1],
    ['000', 'intaglio', '100', 1],
    ['000', 'relief', '100', 0],
  ])('code %s, %s, cap %s: etched %d, not a dot or hole', async (code, process, cap, etched) => {
    const run = await flat(code, '--process', process, '--cap', cap, '--screen', 'errordiffusion', '--quiet');
    expect(run.code, run.err).toBe(0);
    expect(shareOfBlack(seenInPng(file('a.plate.png')))).toBe(etched);
    expect(JSON.parse(file('a.report.json').toString()).coverage.etched).toBe(etched);
  });

  test.each(['127', '128'])('code %s is even from the first row and column on', async (code) => {
    const size = ['--width', '12.8', '--dpi', '254', '--facing', 'print'];
    const run = await flat(code, '--process', 'intaglio', '--cap', '100', ...size);
    expect(run.code, run.err).toBe(0);
    const plate = seenInPng(file('a.plate.png'));
    expect(plate.widthPx).toBe(128);
    for (const [x, y] of [
      [0, 0],
      [64, 0],
      [0, 64],
      [64, 64],
    ] as const)
      expect(Math.abs(shareOfBlack(plate, x, y, 64, 64) - (1 - +code / 255))).toBeLessThan(0.006);
  });

  test('code 254 has stray dots, but few: 0.1 to 0.8 % of 512 × 512 px', async () => {
    const size = ['--width', '51.2', '--dpi', '254'];
    expect((await flat('254', '--process', 'intaglio', '--cap', '100', ...size)).code).toBe(0);
    const share = shareOfBlack(seenInPng(file('a.plate.png')));
    expect(share).toBeGreaterThan(0.001);
    expect(share).toBeLessThan(0.008);
  });
});
