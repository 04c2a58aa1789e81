/** Every format, read by programs that know nothing of ours. */

import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import * as UTIF from 'utif';
import { afterAll, describe, expect, test } from 'vitest';
import { type Bitmap, complementRow, createBitmap, fillRow, tailMask } from '../../src/core/bitmap.ts';
import { rowStream } from '../../src/core/rng.ts';
import type { FormatDef, PlateHead } from '../../src/io/formats/contract.ts';
import { formats } from '../../src/io/formats/index.ts';
import { tiffWriter } from '../../src/io/formats/tiff.ts';
import { type Plate, write } from '../io/formats/plates.ts';

const folder = mkdtempSync(join(tmpdir(), 'etchwright-reference-'));
afterAll(() => rmSync(folder, { recursive: true }));

const RESOLUTIONS = [300, 500, 600, 1000, 1200, 1270];
/** Plates are twice as wide as high: 100 by 50 mm at 600 dpi, as case C43 has it, and smaller elsewhere to save time. */
const widthMmAt = (dpi: number): number => (dpi === 600 ? 100 : 40);
const BLACK_AND_WHITE = ['WhiteIsZero', 'BlackIsZero'] as const;

const run = (command: string, ...args: string[]): Buffer =>
  execFileSync(command, args, {
    maxBuffer: 1 << 28,
    stdio: ['ignore', 'pipe', 'pipe'],
    // ImageMagick's threads only wait for each other on a busy machine
    env: { ...process.env, MAGICK_THREAD_LIMIT: '1' },
  });

/** Random marks on the left, a fifth of the rest etched in blocks. */
function plateAt(dpi: number, fire: PlateHead['fire'] = 'dark'): Plate {
  const px = (mm: number): number => Math.round((mm * dpi) / 25.4);
  const etch = createBitmap(px(widthMmAt(dpi)), px(widthMmAt(dpi) / 2));
  const { widthPx, heightPx, strideBytes, data } = etch;
  for (let y = 0; y < heightPx; y++) {
    const next = rowStream(dpi, 0, y);
    for (let i = 0; i < strideBytes >> 2; i++) data[y * strideBytes + i] = next();
    for (let x = widthPx >> 1; x < widthPx - 20; x += 50)
      fillRow(data, y * strideBytes, x + (y % 31), x + (y % 31) + 10, 1);
    data[(y + 1) * strideBytes - 1]! &= tailMask(widthPx);
  }
  return { head: { widthPx, heightPx, dpi, packing: 'runs', tiff: 'deflate', fire, bandRows: 100 }, etch };
}

/** Packed rows in which 1 is black, as PBM holds them and as the plate should look. */
function blackOf({ head, etch }: Plate): Bitmap {
  const data = Uint8Array.from(etch.data);
  if (head.fire === 'light')
    for (let y = 0; y < head.heightPx; y++) complementRow(data, y * etch.strideBytes, head.widthPx);
  return { ...etch, data };
}

function parsePbm(bytes: Buffer): Bitmap {
  const [header, width, height] = /^P4\s(?:#.*\n)*(\d+)\s(?:#.*\n)*(\d+)\s/.exec(
    bytes.toString('latin1', 0, 300),
  )!;
  const [widthPx, heightPx] = [Number(width), Number(height)];
  const map = createBitmap(widthPx, heightPx);
  map.data.set(bytes.subarray(header.length, header.length + map.data.length));
  return map;
}

function expectSame(found: Bitmap, expected: Bitmap): void {
  expect([found.widthPx, found.heightPx]).toEqual([expected.widthPx, expected.heightPx]);
  expect(Buffer.compare(found.data, expected.data)).toBe(0);
}

const PYTHON = ['/usr/bin/python3', 'python3'].find((python) => {
  try {
    return run(python, '-c', 'import PIL').length === 0;
  } catch {
    return false;
  }
})!;

interface Reading {
  readonly picture: Bitmap;
  readonly dpi: readonly [x: number, y: number];
}

/** Reads a file at the resolution it should have; only Ghostscript needs to be told. */
type Reader = (path: string, dpi: number) => Reading;

const pillow: Reader = (path) => {
  const code = `import sys; from PIL import Image; p = Image.open(sys.argv[1]); assert p.mode == '1', p.mode
p.save(sys.argv[2], 'PPM'); print(*p.info['dpi'])`;
  const pbm = join(folder, 'pillow.pbm');
  const [x, y] = run(PYTHON, '-c', code, path, pbm).toString().trim().split(' ').map(Number);
  return { picture: parsePbm(readFileSync(pbm)), dpi: [x!, y!] };
};

const imageMagick: Reader = (path) => {
  const answer = run('identify-im6.q16', '-units', 'PixelsPerInch', '-format', '%x %y', path).toString();
  const [x, y] = answer.split(' ').map(Number);
  return { picture: parsePbm(run('convert-im6.q16', path, 'pbm:-')), dpi: [x!, y!] };
};

const ghostscript: Reader = (path, dpi) => {
  const listed = run('pdfimages', '-list', path).toString().trim().split('\n');
  expect(listed).toHaveLength(3); // two lines of heading, one image
  const [, , type, , , colour, components, bits, encoding, interpolates, , , x, y] = listed[2]!
    .trim()
    .split(/\s+/);
  expect([type, colour, components, bits, encoding, interpolates]).toEqual([
    'image',
    'gray',
    '1',
    '1',
    'image',
    'no',
  ]);
  const pbm = run(
    'gs',
    '-q',
    '-dBATCH',
    '-dNOPAUSE',
    '-dSAFER',
    '-sDEVICE=pbmraw',
    `-r${dpi}`,
    '-o',
    '-',
    path,
  );
  return { picture: parsePbm(pbm), dpi: [Number(x), Number(y)] };
};

const cases: [string, FormatDef, [string, Reader][]][] = [
  [
    'png',
    formats.png,
    [
      ['Pillow', pillow],
      ['ImageMagick', imageMagick],
    ],
  ],
  [
    'bmp',
    formats.bmp,
    [
      ['Pillow', pillow],
      ['ImageMagick', imageMagick],
    ],
  ],
  ['pdf', formats.pdf, [['Ghostscript', ghostscript]]],
  ...(['deflate', 'group4'] as const).flatMap((compression) =>
    BLACK_AND_WHITE.map((photometric): [string, FormatDef, [string, Reader][]] => [
      `tiff ${compression} ${photometric}`,
      tiffWriter({ compression, photometric }),
      [
        ['Pillow', pillow],
        ['ImageMagick', imageMagick],
      ],
    ]),
  ),
];

async function written(name: string, format: FormatDef, plate: Plate): Promise<string> {
  const path = join(
    folder,
    `${name.replaceAll(' ', '-')}-${plate.head.dpi}-${plate.head.fire}.${format.extension}`,
  );
  writeFileSync(path, await write(format, plate));
  return path;
}

describe.each(cases)('C01 C03 C05 C07 C43 %s', (name, format, readers) => {
  test.each(RESOLUTIONS)('at %i dpi is the same picture of the same size to others', async (dpi) => {
    const plate = plateAt(dpi);
    const path = await written(name, format, plate);
    for (const [, reader] of readers) {
      const { picture, dpi: found } = reader(path, dpi);
      expectSame(picture, blackOf(plate));
      // the stated size is right to within a pixel, with its own rounding to pixels
      const pitchMm = 25.4 / dpi;
      expect(Math.abs((picture.widthPx / found[0]) * 25.4 - widthMmAt(dpi))).toBeLessThan(pitchMm);
      expect(Math.abs((picture.heightPx / found[1]) * 25.4 - widthMmAt(dpi) / 2)).toBeLessThan(pitchMm);
      expect(Math.abs(found[0] - dpi)).toBeLessThan(0.01);
    }
  });

  test('where light fires, too', async () => {
    const plate = plateAt(300, 'light');
    const path = await written(name, format, plate);
    for (const [, reader] of readers) expectSame(reader(path, 300).picture, blackOf(plate));
  });
});

test('pngcheck finds nothing wrong', async () => {
  const path = await written('png', formats.png, plateAt(600));
  const answer = run('pngcheck', '-v', path).toString();
  expect(answer).toContain('2362 x 1181 image, 1-bit grayscale, non-interlaced');
  expect(answer).toContain('23622x23622 pixels/meter');
  expect(answer).toMatch(/No errors detected/);
});

/** The strips of a TIFF as they lie in the file. */
function stripsOf(path: string): Buffer[] {
  const file = Uint8Array.from(readFileSync(path));
  const [page] = UTIF.decode(file.buffer);
  return page!['t273']!.map((offset, i) => Buffer.from(file.subarray(offset, offset + page!['t279']![i]!)));
}

describe('libtiff', () => {
  test.each(RESOLUTIONS)('tells the tags at %i dpi without a warning', async (dpi) => {
    const plate = plateAt(dpi);
    const path = await written('tiff', formats.tiff, plate);
    const answer = execFileSync('sh', ['-c', 'tiffinfo -D "$0" 2>&1', path]).toString();
    expect(answer).not.toMatch(/warning|error/i);
    expect(answer).toContain(`Resolution: ${dpi}, ${dpi} pixels/inch`);
    expect(answer).toContain('Bits/Sample: 1');
    expect(answer).toContain('Compression Scheme: AdobeDeflate');
    expect(answer).toContain('Photometric Interpretation: min-is-white');
    expect(answer).toContain('Rows/Strip: 100');
  });

  test.each(BLACK_AND_WHITE)('packs Group 4 to the very same strips, %s', async (photometric) => {
    const plate = plateAt(500);
    const unpacked = await written('deflate', tiffWriter({ compression: 'deflate', photometric }), plate);
    const ours = await written('group4', tiffWriter({ compression: 'group4', photometric }), plate);
    const theirs = join(folder, 'tiffcp.tif');
    run('tiffcp', '-c', 'g4', '-r', '100', unpacked, theirs);
    expect(stripsOf(ours)).toEqual(stripsOf(theirs));
  });
});
