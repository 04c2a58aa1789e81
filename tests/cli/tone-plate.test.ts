/** Plates without a screen, as other readers see them: 8 bits a pixel. */
import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { PNG } from 'pngjs';
import * as utif from 'utif';
import { describe, expect, test } from 'vitest';
import { pngChunks, sha256 } from '../run/judges.ts';
import { greyPng, photograph, save } from '../run/pictures.ts';
import { cli, freshPlace, namesIn } from './run-cli.ts';

const place = freshPlace();
const file = (name: string): Buffer => readFileSync(join(place.path, name));
const reportOf = (name: string) => JSON.parse(file(`${name}.report.json`).toString());

interface Grey {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly codes: Uint8Array;
}

/** The codes of RGBA pixels that must be grey and opaque. */
function greyOf(widthPx: number, heightPx: number, rgba: Uint8Array): Grey {
  const codes = new Uint8Array(widthPx * heightPx);
  for (let i = 0; i < codes.length; i++) {
    const [r, g, b, a] = rgba.subarray(4 * i, 4 * i + 4);
    if (r !== g || g !== b || a !== 255) throw new Error(`pixel ${i} is ${r}, ${g}, ${b}, ${a}`);
    codes[i] = r!;
  }
  return { widthPx, heightPx, codes };
}

function inPng(name: string): Grey {
  const { width, height, data, depth, colorType } = PNG.sync.read(file(name));
  // PNG 11.2.2: 8 bits, colour type 0, grey
  expect([depth, colorType]).toEqual([8, 0]);
  return greyOf(width, height, data);
}

function inTiff(name: string): Grey {
  const bytes = new Uint8Array(file(name)).buffer;
  const [page] = utif.decode(bytes);
  utif.decodeImage(bytes, page!);
  // TIFF 6.0, section 4: 8 bits a sample, BlackIsZero; 8 = deflate
  expect([page!['t258'], page!['t259'], page!['t262'], page!['t277']]).toEqual([[8], [8], [1], [1]]);
  return greyOf(page!.width, page!.height, utif.toRGBA8(page!));
}

async function prepared(name: string, ...args: string[]) {
  const { code, err } = await cli(place, ['prepare', ...args, '--screen', 'none', '--name', name]);
  expect(code, err).toBe(0);
  return reportOf(name);
}

// one plate pixel for each of the picture's
const side = (px: number): string => String((px * 25.4) / 254);
const oneToOne = (width: number, height: number) => [
  ...['--dpi', '254', '--width', side(width), '--height', side(height)],
];

/** SHA-256 of width and height, then a byte a pixel, 255 = etched in full. */
const etchSha256 = ({ widthPx, heightPx, codes }: Grey, fire: 'dark' | 'light'): string => {
  const head = Buffer.alloc(8);
  head.writeUInt32BE(widthPx, 0);
  head.writeUInt32BE(heightPx, 4);
  const etch = codes.map((code) => (fire === 'dark' ? 255 - code : code));
  return createHash('sha256').update(head).update(etch).digest('hex');
};

/** Every code somewhere, different in every row and column, over several bands of 64 rows. */
const [WIDE, HIGH] = [83, 150];
const codeAt = (x: number, y: number): number => (x * 3 + y * 7) % 256;
const steps = () => save(place.path, 'steps.png', greyPng(WIDE, HIGH, codeAt));

describe.each([
  ['intaglio', (code: number) => code],
  ['relief', (code: number) => 255 - code],
])('%s', (process, blackWhereEtched) => {
  test('shows every pixel at its tone, mirrored, in PNG and TIFF', async () => {
    const plain = ['--process', process, '--cap', '100', '--format', 'png,tiff'];
    const report = await prepared('a', steps(), ...plain, ...oneToOne(WIDE, HIGH));
    // tone is 1 − code/255 of the ink; what is etched is dark, and column i lies at width − 1 − i
    const expected = Uint8Array.from({ length: WIDE * HIGH }, (_, i) =>
      blackWhereEtched(codeAt(WIDE - 1 - (i % WIDE), Math.floor(i / WIDE))),
    );
    for (const seen of [inPng('a.plate.png'), inTiff('a.plate.tif')]) {
      expect([seen.widthPx, seen.heightPx]).toEqual([WIDE, HIGH]);
      expect(Buffer.from(seen.codes).equals(expected)).toBe(true);
      expect(report.bitsSha256).toBe(etchSha256(seen, 'dark'));
    }
    const mean = expected.reduce((sum, code) => sum + 255 - code, 0) / 255 / expected.length;
    expect(report.coverage.etched).toBeCloseTo(mean, 8);
    expect(report.screen).toEqual({ kind: 'none', tones: 256 });
    expect(report.hold).toBeNull();
    for (const { name, bytes, sha256: told, photometric } of report.files) {
      expect([bytes, told]).toEqual([file(name).length, sha256(file(name))]);
      expect(photometric).toBe('BlackIsZero');
    }
  });

  test('has a border that does not print', async () => {
    const border = ['--border', side(5), '--process', process, '--cap', '100'];
    await prepared('a', steps(), ...border, ...oneToOne(WIDE + 10, HIGH + 10));
    const { codes } = inPng('a.plate.png');
    const outside = codes.filter((_, i) => {
      const [x, y] = [i % (WIDE + 10), Math.floor(i / (WIDE + 10))];
      return x < 5 || y < 5 || x >= WIDE + 5 || y >= HIGH + 5;
    });
    // black is fired on: the border of a block is etched away, that of a plate is left alone
    expect(new Set(outside)).toEqual(new Set([process === 'relief' ? 0 : 255]));
  });
});

test('a flat of code 128 is etched 127 of 255, and 80 % of that at a cap of 80', async () => {
  const flat = save(
    place.path,
    'flat.png',
    greyPng(40, 30, () => 128),
  );
  const plain = ['--process', 'intaglio', ...oneToOne(40, 30)];
  await prepared('full', flat, ...plain, '--cap', '100');
  expect(new Set(inPng('full.plate.png').codes)).toEqual(new Set([255 - 127]));
  const report = await prepared('capped', flat, ...plain);
  // 0.8 · (1 − 128/255) · 255 = 101.6
  expect(new Set(inPng('capped.plate.png').codes)).toEqual(new Set([255 - 102]));
  expect(Math.abs(report.coverage.etched - 0.8 * (1 - 128 / 255))).toBeLessThan(0.5 / 255);
});

test('fired on light the same plate is turned over; a transfer is not mirrored', async () => {
  const plain = [steps(), '--process', 'intaglio', '--cap', '100', ...oneToOne(WIDE, HIGH)];
  const dark = await prepared('dark', ...plain);
  const light = await prepared('light', ...plain, '--fire', 'light', '--format', 'png,tiff');
  const turned = inPng('dark.plate.png').codes.map((code) => 255 - code);
  expect(inPng('light.plate.png').codes).toEqual(turned);
  expect(inTiff('light.plate.tif').codes).toEqual(turned);
  expect(light.bitsSha256).toBe(dark.bitsSha256);
  expect(light.files[0].fire).toBe('light');
  await prepared('print', ...plain, '--facing', 'print');
  expect(inPng('print.plate.png').codes[1]).toBe(codeAt(1, 0));
});

test('the resolution at 500 dpi is 19685 px a metre in PNG, 500/1 an inch in TIFF', async () => {
  await prepared('a', steps(), '--process', 'relief', '--width', '20', '--format', 'png,tiff');
  const chunks = pngChunks(file('a.plate.png'));
  // PNG 11.3.5.3: two uint32 and the unit 1, the metre
  expect(chunks.find(({ type }) => type === 'pHYs')?.data.toString('hex')).toBe('00004ce500004ce501');
  const [page] = utif.decode(new Uint8Array(file('a.plate.tif')).buffer);
  expect([page!['t282'], page!['t283'], page!['t296']]).toEqual([[500], [500], [2]]);
});

test('1, 2 and 8 workers give the same bytes', async () => {
  const sea = save(place.path, 'sea.png', photograph(320, 240));
  const plain = [sea, '--process', 'relief', '--width', '60', '--border', '1.3', '--format', 'png,tiff'];
  const made = [];
  for (const workers of ['1', '2', '8']) {
    const { bitsSha256 } = await prepared(workers, ...plain, '--workers', workers);
    made.push([bitsSha256, ...['png', 'tif'].map((end) => sha256(file(`${workers}.plate.${end}`)))]);
  }
  expect(made[1]).toEqual(made[0]);
  expect(made[2]).toEqual(made[0]);
  expect(made[0]![0]).toBe(etchSha256(inPng('8.plate.png'), 'dark'));
});

describe('what tone cannot be stored in is told before any picture is opened', () => {
  test.each([
    [['--format', 'bmp'], /bmp does not store.*png or tiff/s],
    [['--format', 'png,bmp,pdf'], /bmp and pdf do not store.*png or tiff/s],
    [['--format', 'tiff', '--tiff', 'group4'], /--tiff group4 packs one bit a pixel/],
  ])('%j', async (args, words) => {
    const job = ['prepare', 'not-there.png', '--process', 'relief', '--width', '50', '--screen', 'none'];
    const { code, err } = await cli(place, [...job, ...args]);
    expect(code).toBe(2);
    expect(err).toMatch(words);
    expect(namesIn(place.path)).toEqual([]);
  });
});

test('a dry run and a refusal leave no file, a pipe carries the plate', async () => {
  const plain = ['prepare', steps(), '--process', 'intaglio', '--width', '20', '--screen', 'none'];
  const dry = await cli(place, [...plain, '--dry-run']);
  expect(dry.code, dry.err).toBe(0);
  expect(JSON.parse(dry.out).files).toEqual([]);
  // 83 px on 60 mm are far too coarse
  const refused = await cli(place, [...plain, '--width', '60', '--strict']);
  expect(refused.code, refused.err).toBe(5);
  expect(namesIn(place.path)).toEqual(['steps.png']);
  const piped = await cli(place, [...plain, '--out', '-', '--report', 'piped.report.json']);
  expect(piped.code, piped.err).toBe(0);
  expect(sha256(piped.outBytes)).toBe(reportOf('piped').files[0].sha256);
  expect(JSON.parse(dry.out).bitsSha256).toBe(reportOf('piped').bitsSha256);
});
