/**
 * Files that mean harm: each ends with a clear error, or with the plate it can have, within 5 s of processor time and 500 MB,
 * all processes together; nothing half is left. Time by the clock is the machine's.
 */
import { spawnSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import sharp from 'sharp';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import {
  avifResized,
  bmp,
  gif,
  jpegResized,
  laughs,
  packedZeros,
  png,
  pngChunk,
  svg,
  tiff,
  tiffDataAt,
  uses,
  webpCanvas,
} from './hostile-pictures.ts';
import { watched } from './limited.ts';

let top = '';
let place = '';
let tmp = '';
beforeEach(() => {
  top = mkdtempSync(join(tmpdir(), 'hostile-'));
  [place, tmp] = [join(top, 'place'), join(top, 'tmp')];
  mkdirSync(place);
  mkdirSync(tmp);
});
afterEach(() => rmSync(top, { recursive: true, force: true }));

const PLATE = ['--process', 'relief', '--width', '20mm', '--out', 'out'];
const small = () => sharp({ create: { width: 64, height: 64, channels: 3, background: '#888' } });

const MOST_PROCESSOR_S = 5;

/** Runs and holds to the limits; `codes` are the endings that are right. */
function held(args: readonly string[], codes: readonly number[]) {
  let run = watched(place, tmp, args);
  // processor time swells with what else runs on the same core: the lesser of two runs is the program's
  if (run.processorS >= MOST_PROCESSOR_S) {
    rmSync(join(place, 'out'), { recursive: true, force: true });
    run = watched(place, tmp, args);
  }
  expect(codes, run.err).toContain(run.code);
  expect(run.processorS, 'processor time in s').toBeLessThan(MOST_PROCESSOR_S);
  expect(run.peakMB, 'MB').toBeLessThan(500);
  expect(run.errBytes).toBeLessThan(300_000);
  expect(run.err).not.toMatch(/our fault|\bat .*:\d+:\d+/);
  expect(readdirSync(tmp)).toEqual([]);
  const made = readdirSync(place, { recursive: true }).map(String);
  expect(made.filter((name) => /\.(part|old)$|lock/.test(name))).toEqual([]);
  if (run.code !== 0) expect(made.filter((name) => name.startsWith('out'))).toEqual([]);
  return run;
}

const strip = (width: number, height: number, bytes: number): Buffer => {
  const data = packedZeros(bytes);
  const tags = { 256: width, 257: height, 258: 8, 259: 8, 262: 1, 273: tiffDataAt(9), 277: 1, 278: height };
  return tiff({ ...tags, 279: data.length }, data);
};
const M = 1e6;

/** The ending is 3, refused, unless the picture has one that can be had. */
const PICTURES: readonly (readonly [name: string, make: () => Buffer | Promise<Buffer>, code?: number])[] = [
  ['a gigabyte behind 100 rows.png', () => png({ width: 100, height: 100, data: packedZeros(1000 * M) }), 0],
  [
    'a profile of a gigabyte.png',
    () => {
      const profile = Buffer.concat([Buffer.from('a\0\0'), packedZeros(1000 * M)]);
      const chunks = [pngChunk('iCCP', profile)];
      return png({ width: 100, height: 100, data: packedZeros(10_100), chunks });
    },
    0,
  ],
  ['2^31 a side.png', () => png({ width: 2 ** 31 - 1, height: 2 ** 31 - 1, data: packedZeros(100) })],
  ['a row of 4e8.png', () => png({ width: 4e8, height: 1, depth: 1, data: packedZeros(5e7 + 1) })],
  [
    'interlaced of 16 bits.png',
    () =>
      png({ width: 19_000, height: 19_000, interlaced: true, depth: 16, colour: 6, data: packedZeros(1000) }),
  ],
  ['no pixels.png', () => png({ width: 20_000, height: 20_000 })],
  [
    '2^31 a side.tif',
    () =>
      tiff({
        256: 2 ** 31,
        257: 2 ** 31,
        258: 8,
        259: 1,
        262: 1,
        273: 8,
        277: 1,
        278: 2 ** 31,
        279: 2 ** 31,
      }),
  ],
  ['a gigabyte in a strip.tif', () => strip(100, 100, 1000 * M), 0],
  [
    'tiles of 2^30.tif',
    () =>
      tiff({
        256: 100,
        257: 100,
        258: 8,
        259: 1,
        262: 1,
        277: 1,
        322: 2 ** 30,
        323: 2 ** 30,
        324: 8,
        325: 100,
      }),
  ],
  [
    'pages in a circle.tif',
    () =>
      tiff(
        { 256: 10, 257: 10, 258: 8, 259: 1, 262: 1, 273: 8, 277: 1, 278: 10, 279: 100 },
        Buffer.alloc(200),
        8,
      ),
  ],
  ['65535 a side.gif', () => gif(65_535, 65_535, 1000), 0],
  ['2^24 a side.webp', () => webpCanvas(2 ** 24, 2 ** 24)],
  [
    '60000 a side.avif',
    async () => avifResized(await small().avif({ effort: 0 }).toBuffer(), 60_000, 60_000),
  ],
  [
    '19999 a side.avif',
    async () => avifResized(await small().avif({ effort: 0 }).toBuffer(), 20_000, 19_999),
  ],
  ['65500 a side.jpg', async () => jpegResized(await small().jpeg().toBuffer(), 65_500, 65_500)],
  [
    'progressive of 400 Mpx.jpg',
    async () => jpegResized(await small().jpeg({ progressive: true }).toBuffer(), 20_000, 19_999),
  ],
  ['2^31 a side.bmp', () => bmp(2 ** 31 - 1, 2 ** 31 - 1, 24)],
  ['minus 2^31 a side.bmp', () => bmp(2 ** 31, 2 ** 31, 24)],
  ['2^31 a side.pgm', () => Buffer.from('P5 2147483648 2147483648 255\n')],
  ['a number of 5e7 digits.pgm', () => Buffer.from(`P5 ${'9'.repeat(5e7)} 1 255\n`)],
  [
    'a hundred megabytes of comment.pgm',
    () => Buffer.concat([Buffer.from('P5 #'), Buffer.alloc(100 * M, 0x61)]),
  ],
  ['laughs.svg', laughs],
  ['uses.svg', () => uses(9)],
  ['huge view box.svg', () => svg('<rect width="9" height="9"/>', 'viewBox="0 0 1e300 1e300"'), 0],
  ['a hair of 1e9 mm.svg', () => svg('', 'width="1e-9mm" height="1e9mm"'), 2],
  ['a million groups.svg', () => svg('<g>'.repeat(M) + '</g>'.repeat(M))],
  [
    'filters without end.svg',
    () =>
      svg(
        `<filter id="b">${'<feMorphology operator="dilate" radius="1000"/>'.repeat(500)}</filter><rect width="99" height="99" filter="url(#b)"/>`,
      ),
  ],
  [
    'styles.svg',
    () =>
      svg(
        `<style>${'g a b c d{b:c}'.repeat(20_000)}</style>${'<g>'.repeat(200)}${'<a/>'.repeat(20_000)}${'</g>'.repeat(200)}`,
      ),
  ],
  [
    '400 Mpx in a drawing.svg',
    () => {
      const inside = png({
        width: 20_000,
        height: 20_000,
        depth: 1,
        data: packedZeros(20_000 * 2501),
      }).toString('base64');
      return svg(`<image width="99" height="99" xlink:href="data:image/png;base64,${inside}"/>`);
    },
  ],
  ['one tag of 30 MB.svg', () => Buffer.from(`<svg ${'a '.repeat(15 * M)}>`)],
  ['words without end.svg', () => svg('url('.repeat(7 * M)), 0],
];

describe('pictures', () => {
  test.each(PICTURES.map(([name, make, code = 3]) => ({ name, make, code })))(
    '$name',
    async ({ name, make, code }) => {
      writeFileSync(join(place, name), await make());
      const { err } = held(['prepare', name, ...PLATE], [code]);
      if (code === 3) expect(err).toContain(`Reading "${name}": `);
    },
  );

  test.each([
    ['a folder', (path: string) => mkdirSync(path)],
    ['a pipe that nobody writes to', (path: string) => void spawnSync('mkfifo', [path])],
  ])('%s', (_, make) => {
    make(join(place, 'it.png'));
    expect(held(['prepare', 'it.png', ...PLATE], [3]).err).toMatch(/a folder|no plain file/);
    for (const flag of ['--job', '--workshop', '--curve'])
      expect(held(['prepare', 'x.png', ...PLATE, flag, 'it.png'], [2]).err).toMatch(/a folder|not a file/);
    held(['batch', 'it.png', ...PLATE], [2]);
    held(['notebook', 'list', '--notebook', 'it.png'], [2]);
  });

  test('/dev/zero in every place', () => {
    held(['prepare', '/dev/zero', ...PLATE], [3]);
    for (const flag of ['--job', '--workshop', '--curve'])
      held(['prepare', 'x.png', ...PLATE, flag, '/dev/zero'], [2]);
    held(['batch', '/dev/zero', ...PLATE], [2]);
    held(['notebook', 'list', '--notebook', '/dev/zero'], [2]);
  });
});

/** What each says, beside that it ends in time. */
const TEXTS: readonly (readonly [
  what: string,
  args: readonly string[],
  text: () => string | Buffer,
  says: RegExp,
])[] = [
  [
    'a job of 100 MB in a line',
    ['prepare', 'x.png', '--job', 'it', ...PLATE],
    () => `{"a":"${'a'.repeat(100 * M)}"}`,
    /more than 16 MB/,
  ],
  [
    'a job of a million brackets',
    ['prepare', 'x.png', '--job', 'it', ...PLATE],
    () => `{"widthMm":${'['.repeat(M)}${']'.repeat(M)}}`,
    /nested more than 64 deep/,
  ],
  [
    'a job of 300,000 settings',
    ['prepare', 'x.png', '--job', 'it', ...PLATE],
    () => `{${Array.from({ length: 300_000 }, (_, i) => `"k${i}":1`).join()}}`,
    /300000 names at its top/,
  ],
  [
    'a job with a value of 10 MB',
    ['prepare', 'x.png', '--job', 'it', ...PLATE],
    () => `{"widthMm":"${'9'.repeat(10 * M)}"}`,
    / … /,
  ],
  [
    'a list of 100 MB in a line',
    ['batch', 'it', ...PLATE],
    () => `picture,name\n${'a'.repeat(100 * M)}`,
    /more than 32 MB/,
  ],
  [
    'a list of a million columns',
    ['batch', 'it', ...PLATE],
    () => `picture${',width'.repeat(M)}\na.png`,
    /1000001 cells, more than 500/,
  ],
  [
    'a list of 30 MB of marks',
    ['batch', 'it', ...PLATE],
    () => `picture\n${'"'.repeat(30 * M + 1)}`,
    /quotation mark/,
  ],
  [
    'a workshop of 100,000 machines',
    ['prepare', 'x.png', ...PLATE, '--workshop', 'it'],
    () => JSON.stringify({ machines: Array.from({ length: 100_000 }, (_, i) => ({ id: `m${i}` })) }),
    /./,
  ],
  [
    'a curve of noughts',
    ['prepare', 'x.png', ...PLATE, '--curve', 'it'],
    () => Buffer.alloc(10 * M),
    /not JSON/,
  ],
  [
    'a curve of other words',
    ['prepare', 'x.png', ...PLATE, '--curve', 'it'],
    () => '{"schema":"etchwright/curve","knots":[[1e999,-1e999]]}',
    /./,
  ],
];

describe('texts', () => {
  test.each(TEXTS)('%s', (_, args, text, says) => {
    writeFileSync(join(place, 'it'), text());
    expect(held(args, [2]).err).toMatch(says);
  });

  test('a notebook with a line of 500 MB between two others: it is passed over, and told', () => {
    const path = join(place, 'it.jsonl');
    writeFileSync(path, '\n');
    for (let i = 0; i < 5; i++) writeFileSync(path, Buffer.alloc(100 * M, 0x61), { flag: 'a' });
    writeFileSync(path, '\n', { flag: 'a' });
    const { err } = held(['notebook', 'list', '--notebook', 'it.jsonl'], [0]);
    expect(err).toMatch(/line 2/);
  });
});
