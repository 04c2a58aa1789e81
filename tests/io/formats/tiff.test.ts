import sharp from 'sharp';
import * as UTIF from 'utif';
import { describe, expect, test } from 'vitest';
import { tiff, tiffWriter } from '../../../src/io/formats/tiff.ts';
import { hex, oracles } from './oracles.ts';
import { drawn, type Plate, textOf, write } from './plates.ts';

const tiny = oracles.png_tiny.rows;
const turned = (rows: readonly string[]): string[] =>
  rows.map((row) => row.replace(/./g, (bit) => (bit === '1' ? '0' : '1')));
const photometrics = ['WhiteIsZero', 'BlackIsZero'] as const;

/** "1" where an independent reader sees white. */
async function whiteByVips(file: Uint8Array): Promise<string[]> {
  const { data, info } = await sharp(file).toColourspace('b-w').raw().toBuffer({ resolveWithObject: true });
  return Array.from({ length: info.height }, (_, y) =>
    Array.from({ length: info.width }, (_, x) =>
      data[(y * info.width + x) * info.channels] === 255 ? '1' : '0',
    ).join(''),
  );
}

function whiteByUtif(file: Uint8Array): string[] {
  const bytes = Uint8Array.from(file);
  const [page] = UTIF.decode(bytes.buffer);
  UTIF.decodeImage(bytes.buffer, page!);
  const rgba = UTIF.toRGBA8(page!);
  return Array.from({ length: page!.height }, (_, y) =>
    Array.from({ length: page!.width }, (_, x) => (rgba[(y * page!.width + x) * 4] === 255 ? '1' : '0')).join(
      '',
    ),
  );
}

describe('C03 one plate, either photometric', () => {
  test.each(photometrics)('%s: the front equals the one put together by hand', async (photometric) => {
    // the golden file is uncompressed: 6 bytes in its only strip, compression 1
    const golden = oracles.tiff_tiny[photometric === 'BlackIsZero' ? 1 : 0];
    const file = await write(
      tiffWriter({ compression: 'deflate', photometric }),
      drawn(tiny, { fire: 'light' }),
    );
    const front = Buffer.from(file.subarray(0, 174));
    expect(front.readUInt16LE(8 + 2 + 3 * 12)).toBe(259);
    front.writeUInt16LE(1, 8 + 2 + 3 * 12 + 8);
    front.writeUInt32LE(6, 8 + 2 + 8 * 12 + 8);
    expect(hex(front)).toBe(golden.hex.slice(0, 2 * 174));
  });

  test.each(photometrics)('%s shows the same picture in UTIF and libtiff', async (photometric) => {
    const writer = tiffWriter({ compression: 'deflate', photometric });
    for (const bandRows of [1, 2, 3])
      for (const fire of ['dark', 'light'] as const) {
        const plate: Plate = drawn(tiny, { fire, bandRows });
        const file = await write(writer, plate);
        const white = fire === 'light' ? tiny : turned(tiny);
        expect(await whiteByVips(file)).toEqual(white);
        expect(whiteByUtif(file)).toEqual(white);
        expect(writer.photometric(plate.head)).toBe(photometric);
        expect(UTIF.decode(Uint8Array.from(file).buffer)[0]!['t262']).toEqual([
          photometrics.indexOf(photometric),
        ]);
      }
  });

  test('by default the stored bits are the etch bits', () => {
    const { head, etch } = drawn(tiny);
    expect(tiff.photometric(head)).toBe('WhiteIsZero');
    expect(tiff.photometric({ ...head, fire: 'light' })).toBe('BlackIsZero');
    const dark = tiff.encodeBand(etch.data, head, 0);
    expect(tiff.encodeBand(etch.data, { ...head, fire: 'light' }, 0)).toEqual(dark);
  });
});

describe('C07', () => {
  test.each([300, 500, 600, 1000, 1200, 300.5])('says %f dpi exactly, in inches', async (dpi) => {
    const file = await write(tiff, drawn(tiny, { dpi }));
    const [page] = UTIF.decode(Uint8Array.from(file).buffer);
    expect(page!['t282']).toEqual([dpi]);
    expect(page!['t283']).toEqual([dpi]);
    expect(page!['t296']).toEqual([2]);
    // libvips tells whole dots an inch only
    expect(Math.abs((await sharp(file).metadata()).density! - dpi)).toBeLessThanOrEqual(0.5);
  });
});

test('holds exactly the baseline tags of a bilevel picture, in order', async () => {
  const [page] = UTIF.decode(Uint8Array.from(await write(tiff, drawn(tiny, { bandRows: 1 }))).buffer);
  const tags = Object.keys(page!).filter((key) => /^t\d+$/.test(key));
  expect(tags).toEqual([
    't256',
    't257',
    't258',
    't259',
    't262',
    't273',
    't277',
    't278',
    't279',
    't282',
    't283',
    't296',
  ]);
  expect(page).toMatchObject({ t256: [10], t257: [3], t258: [1], t259: [8], t277: [1], t278: [1] });
  expect(page!['t273']).toHaveLength(3);
});

test('widths over 65,535 pixels take a LONG', async () => {
  const file = await write(tiff, drawn(['10'.repeat(35_000)]));
  const front = Buffer.from(file);
  expect(front.readUInt16LE(10 + 2)).toBe(4); // TIFF 6.0, section 2: 4 = LONG
  expect((await sharp(file).metadata()).width).toBe(70_000);
});

test('refuses a file of more than 4 GiB', () => {
  const { head } = drawn(['1', '1', '1'], { bandRows: 1 });
  const band = (length: number) => ({ bytes: { length } as Uint8Array });
  const front = 8 + 2 + 12 * 12 + 4 + 16 + 3 * 8;
  const most = 2 ** 32 - 1 - front;
  expect(() => tiff.assemble(head, [band(1), band(1), band(most - 2)])).not.toThrow();
  expect(() => tiff.assemble(head, [band(1), band(1), band(most - 1)])).toThrow(
    expect.objectContaining({ name: 'EtchError', kind: 'output', code: 'tiff-too-large' }),
  );
});

test('reads its own small picture back as text', async () => {
  // guards the helpers of these tests, not the writer
  expect(textOf(drawn(tiny).etch)).toEqual(tiny);
});
