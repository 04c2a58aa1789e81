/** How the same bits are stored: which value fires, and how TIFF strips are packed. */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import sharp from 'sharp';
import { expect, test } from 'vitest';
import { rowsOf, seenInPng, seenInTiff } from '../run/judges.ts';
import { greyPng, save } from '../run/pictures.ts';
import { cli, freshPlace } from './run-cli.ts';

const place = freshPlace();
const file = (name: string): Buffer => readFileSync(join(place.path, name));
const reportOf = (name: string) => JSON.parse(file(`${name}.report.json`).toString());

const INK = ['1010110011', '0000000000', '1111111110'];
const turned = (rows: readonly string[]) => rows.map((row) => row.replace(/./g, (bit) => `${1 - +bit}`));
const SIZE = ['--width', '5.08', '--height', '1.524', '--dpi', '50', '--facing', 'print'];

/** An intaglio plate of 10 × 3 px that is etched where the picture is black. */
async function made(name: string, ...rest: string[]) {
  save(
    place.path,
    'tiny.png',
    greyPng(10, 3, (x, y) => (INK[y]![x] === '1' ? 0 : 255)),
  );
  const plain = ['--process', 'intaglio', '--screen', 'threshold', '--cap', '100', ...SIZE, '--name', name];
  const { code, err } = await cli(place, ['prepare', 'tiny.png', ...plain, ...rest]);
  expect(code, err).toBe(0);
  return { report: reportOf(name), err };
}

test('what is etched is dark, or light if the machine fires on light; the bits stay the same', async () => {
  const formats = ['--format', 'png,tiff'];
  const dark = await made('dark', ...formats);
  const light = await made('light', ...formats, '--fire', 'light');
  expect(rowsOf(seenInPng(file('dark.plate.png')))).toEqual(INK);
  expect(rowsOf(seenInTiff(file('dark.plate.tif')))).toEqual(INK);
  expect(rowsOf(seenInPng(file('light.plate.png')))).toEqual(turned(INK));
  expect(rowsOf(seenInTiff(file('light.plate.tif')))).toEqual(turned(INK));

  expect(light.report.bitsSha256).toBe(dark.report.bitsSha256);
  expect(light.report.job).toEqual(dark.report.job);
  expect(light.report.coverage).toEqual(dark.report.coverage);
  const told = ({ files }: typeof light.report) =>
    files.map(({ photometric, fire }: Record<string, string>) => [photometric, fire]);
  expect(told(dark.report)).toEqual([
    ['BlackIsZero', 'dark'],
    ['WhiteIsZero', 'dark'],
  ]);
  expect(told(light.report)).toEqual([
    ['BlackIsZero', 'light'],
    ['BlackIsZero', 'light'],
  ]);
  expect(light.err).toContain('on light pixels');
  expect(dark.err).not.toContain('on light pixels');
});

test.each([
  ['deflate', 8],
  ['group4', 4],
])('--tiff %s is compression %d and the same picture to utif and libtiff', async (packing, code) => {
  await made('a', '--format', 'tiff', '--tiff', packing);
  const tiff = seenInTiff(file('a.plate.tif'));
  // TIFF 6.0, tag 259: 4 = T.6; 8 = deflate (Technical Note of 22 March 2002)
  expect(tiff.tags['t259']).toEqual([code]);
  expect(rowsOf(tiff)).toEqual(INK);
  // sharp reads TIFFs with libtiff
  const { data, info } = await sharp(file('a.plate.tif'))
    .toColourspace('b-w')
    .raw()
    .toBuffer({ resolveWithObject: true });
  const black = Uint8Array.from({ length: 30 }, (_, i) => (data[i * info.channels] === 0 ? 1 : 0));
  expect(rowsOf({ widthPx: 10, heightPx: 3, black })).toEqual(INK);
});
