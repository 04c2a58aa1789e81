/** Plates in every container, as other readers see them. */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { pngChunks, rowsOf, type Seen, seenInPng, seenInTiff, shareOfBlack } from '../run/judges.ts';
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
  expect([tags['t282'], tags['t283'], tags['t296']]).toEqual([[500], [500], [2]]);
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
    expect([tiff.tags['t258'] ?? [1], tiff.tags['t277'] ?? [1]]).toEqual([[1], [1]]);
    expect(Buffer.from(tiff.black).equals(Buffer.from(png.black))).toBe(true);

    const perMetre = pngChunks(file('a.plate.png')).find(({ type }) => type === 'pHYs')!.data;
    const mmOf = {
      png: png.widthPx / (perMetre.readUInt32BE(0) / 1000),
      tiff: (tiff.widthPx / tiff.tags['t282']![0]!) * 25.4,
    };
    for (const mm of Object.values(mmOf)) expect(Math.abs(mm - 100)).toBeLessThan(25.4 / dpi);
    const down = png.heightPx / (perMetre.readUInt32BE(4) / 1000);
    expect(Math.abs(down - 5)).toBeLessThan(25.4 / dpi);
    expect(perMetre.readUInt32BE(0)).toBe(Math.round(dpi / 0.0254));
    expect(tiff.tags['t282']).toEqual([dpi]);
    expect(tiff.tags['t274'] ?? [1]).toEqual([1]);
  });
});

/** Side of the largest square that is black throughout. */
function largestSolid({ widthPx, heightPx, black }: Seen): number {
  const side = new Uint16Array(widthPx * heightPx);
  for (let y = 0; y < heightPx; y++)
    for (let x = 0; x < widthPx; x++) {
      const at = y * widthPx + x;
      const before = x > 0 && y > 0 ? [side[at - 1]!, side[at - widthPx]!, side[at - widthPx - 1]!] : [0];
      side[at] = black[at] === 1 ? 1 + Math.min(...before) : 0;
    }
  return side.reduce((most, one) => Math.max(most, one), 0);
}

describe('check 5, C23 solids and paper', () => {
  const flats = (...rest: string[]) =>
    cli(place, [
      'prepare',
      ...['000', '255'].map((code) => corpus(`good/gen-flat-${code}.png`)),
      ...rest,
      '--width',
      '20',
    ]);
  const plateOf = (code: string) => seenInPng(file(`gen-flat-${code}.plate.png`));

  test('at the usual cap of an intaglio plate black is 80 % marks, never solid, and white is white', async () => {
    const { code, err } = await flats('--process', 'intaglio');
    expect(code, err).toBe(0);
    const black = plateOf('000');
    expect(black.widthPx).toBe(394);
    expect(Math.abs(shareOfBlack(black) - 0.8)).toBeLessThan(0.006);
    // cells of 3 px (0.15 mm); 20 % paper is a land in every square of 2.2 cells on average
    expect(largestSolid(black)).toBeLessThan(5 * 3);
    expect(shareOfBlack(plateOf('255'))).toBe(0);
  });

  test.each([
    ['intaglio', 1, 0],
    ['relief', 0, 1],
  ])('%s at cap 100: black is etched %d, white %d, not a dot or hole', async (process, black, white) => {
    const { code, err } = await flats('--process', process, '--cap', '100', '--screen', 'errordiffusion');
    expect(code, err).toBe(0);
    expect([shareOfBlack(plateOf('000')), shareOfBlack(plateOf('255'))]).toEqual([black, white]);
    expect(JSON.parse(file('gen-flat-000.report.json').toString()).coverage.etched).toBe(black);
  });
});
