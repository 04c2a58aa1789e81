/** Tone plates, read by programs that know nothing of ours. */
import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, test } from 'vitest';
import { rowStream } from '../../src/core/rng.ts';
import type { FormatDef } from '../../src/io/formats/contract.ts';
import { formats } from '../../src/io/formats/index.ts';
import { type TonePlate, writeTone } from '../io/formats/tones.ts';

const folder = mkdtempSync(join(tmpdir(), 'etchwright-tone-'));
afterAll(() => rmSync(folder, { recursive: true }));

const run = (command: string, ...args: string[]): Buffer =>
  execFileSync(command, args, {
    maxBuffer: 1 << 26,
    stdio: ['ignore', 'pipe', 'pipe'],
    env: { ...process.env, MAGICK_THREAD_LIMIT: '1' },
  });

const PYTHON = ['/usr/bin/python3', 'python3'].find((python) => {
  try {
    return run(python, '-c', 'import PIL').length === 0;
  } catch {
    return false;
  }
})!;

/** The codes of an 8-bit grey picture as a reader sees them, and the resolution it is told. */
interface Reading {
  readonly codes: Buffer;
  readonly size: string;
  readonly dpi: number;
}

const readers: [string, (path: string) => Reading][] = [
  [
    'Pillow',
    (path) => {
      const code = `import sys; from PIL import Image; p = Image.open(sys.argv[1]); assert p.mode == 'L', p.mode
open(sys.argv[2], 'wb').write(p.tobytes()); print(*p.size, p.info['dpi'][0])`;
      const raw = join(folder, 'pillow.raw');
      const [width, height, dpi] = run(PYTHON, '-c', code, path, raw).toString().trim().split(' ');
      return { codes: run('cat', raw), size: `${width} × ${height}`, dpi: Number(dpi) };
    },
  ],
  [
    'ImageMagick',
    (path) => {
      const format = ['-units', 'PixelsPerInch', '-format', '%w %h %x %[type] %z'];
      const told = run('identify-im6.q16', ...format, path)
        .toString()
        .split(' ');
      expect(told.slice(3)).toEqual(['Grayscale', '8']);
      return {
        codes: run('convert-im6.q16', path, '-depth', '8', 'gray:-'),
        size: `${told[0]} × ${told[1]}`,
        dpi: Number(told[2]),
      };
    },
  ],
];

/** Slopes on the left, noise on the right, in bands that do not divide the height. */
function plateOf(fire: 'dark' | 'light'): TonePlate {
  const [widthPx, heightPx] = [401, 203];
  const etch = new Uint8Array(widthPx * heightPx);
  for (let y = 0; y < heightPx; y++) {
    const next = rowStream(9, 0, y);
    for (let x = 0; x < widthPx; x++) etch[y * widthPx + x] = x < 256 ? x ^ (y & 1) : next() & 0xff;
  }
  const head = {
    widthPx,
    heightPx,
    dpi: 600,
    fire,
    packing: 'repeats',
    tiff: 'deflate',
    bandRows: 64,
  } as const;
  return { head, etch };
}

const ofTone = Object.values<FormatDef>(formats).filter(({ tone }) => tone);

function written(format: FormatDef, plate: TonePlate): string {
  const path = join(folder, `${plate.head.fire}.${format.extension}`);
  writeFileSync(path, writeTone(format.tone!, plate));
  return path;
}

describe.each(ofTone)('$kind', (format) => {
  describe.each(readers)('to %s', (_name, reader) => {
    test.each(['dark', 'light'] as const)('is the same picture, fired on %s', (fire) => {
      const plate = plateOf(fire);
      const { codes, size, dpi } = reader(written(format, plate));
      expect(size).toBe('401 × 203');
      expect(Math.abs(dpi - 600)).toBeLessThan(0.01);
      const expected = fire === 'light' ? plate.etch : plate.etch.map((etch) => 255 - etch);
      expect(codes.equals(expected)).toBe(true);
    });
  });
});

test('pngcheck finds nothing wrong', () => {
  const answer = run('pngcheck', '-v', written(formats.png, plateOf('dark'))).toString();
  expect(answer).toContain('401 x 203 image, 8-bit grayscale, non-interlaced');
  expect(answer).toMatch(/No errors detected/);
});

test('libtiff tells the tags without a warning', () => {
  const path = written(formats.tiff, plateOf('dark'));
  const answer = execFileSync('sh', ['-c', 'tiffinfo -D "$0" 2>&1', path]).toString();
  expect(answer).not.toMatch(/warning|error/i);
  expect(answer).toContain('Bits/Sample: 8');
  expect(answer).toContain('Compression Scheme: AdobeDeflate');
  expect(answer).toContain('Photometric Interpretation: min-is-black');
  expect(answer).toContain('Rows/Strip: 64');
  expect(answer).toContain('Resolution: 600, 600 pixels/inch');
});
