import { readFileSync } from 'node:fs';
import sharp from 'sharp';
import { expect, test } from 'vitest';
import { measurePicture } from '../../../src/core/picture/kind.ts';
import { readTiles, tileGrid } from '../../../src/core/picture/tiles.ts';
import { TONE_CENTRE, type ToneSource } from '../../../src/core/resample/index.ts';
import {
  diffused,
  dots,
  lettering,
  type Made,
  made,
  noisy,
  printed,
  shaded,
  softened,
  sourceOf,
} from './made.ts';

/** A picture file as sharp decodes it to grey, ink tone. */
async function fileSource(input: string | Buffer): Promise<ToneSource> {
  const { data, info } = await sharp(input).greyscale().raw().toBuffer({ resolveWithObject: true });
  const { width, height, channels } = info;
  return {
    widthPx: width,
    heightPx: height,
    readRow(y, into, at) {
      for (let x = 0; x < width; x++)
        into[at + x] = TONE_CENTRE - 1 - data[(y * width + x) * channels]! * 257;
    },
  };
}

const fileOf = (path: string): Buffer => readFileSync(new URL(`../../../${path}`, import.meta.url));
const kindOf = (picture: Made) => measurePicture(sourceOf(picture));

test('drawings are line art: clean, softened, or scanned on toned paper with weak ink', () => {
  const drawing = lettering();
  expect(kindOf(drawing)).toMatchObject({ kind: 'line-art', twoLevel: true, screen: null });
  expect(kindOf(drawing)).toMatchObject({ midShare: 0, paperTone: 0, solidTone: 1 });
  expect(kindOf(softened(drawing, 0.7))).toMatchObject({ kind: 'line-art', twoLevel: false });
  const scan = noisy(softened(printed(drawing, 0.1, 0.85), 1), 0.03);
  const found = kindOf(scan);
  expect(found).toMatchObject({ kind: 'line-art', twoLevel: false, screen: null });
  expect(found.paperTone).toBeCloseTo(0.1, 1);
  // strokes of four pixels under a blur of one are a little lighter in their middle
  expect(Math.abs(found.solidTone - 0.85)).toBeLessThan(0.08);
});

test.each([
  ['examples/ferry-key.png', 'line-art'],
  ['examples/sound-tone.png', 'tone'],
  ['fixtures/corpus/good/gen-engraving.png', 'line-art'],
  ['fixtures/corpus/good/gen-zoneplate.png', 'tone'],
  ['fixtures/corpus/good/gen-ramp16.png', 'tone'],
])('%s is %s and not screened', async (path, kind) => {
  expect(measurePicture(await fileSource(fileOf(path)))).toMatchObject({ kind, screen: null });
});

test('gen-halftoned.png is a halftone of 5.3 px at 45°, as its entry says', async () => {
  const found = measurePicture(await fileSource(fileOf('fixtures/corpus/good/gen-halftoned.png')));
  expect(found).toMatchObject({ kind: 'screened', twoLevel: true });
  expect(1 / found.screen!.rulingPerPx).toBeCloseTo(5.3, 1);
  expect(found.screen!.angleDeg).toBeCloseTo(45, 1);
});

test('a drawing survives a coarse JPEG, a drawing with a tint is a tint, shading is tone', async () => {
  const drawing = lettering();
  const grey = Buffer.from(Uint8Array.from(drawing.ink, (ink) => 255 - 255 * ink));
  const raw = { width: drawing.widthPx, height: drawing.heightPx, channels: 1 } as const;
  const jpeg = await sharp(grey, { raw }).jpeg({ quality: 30 }).toBuffer();
  expect(measurePicture(await fileSource(jpeg)).kind).toBe('line-art');
  const tinted = made(drawing.widthPx, drawing.heightPx, (x, y) =>
    Math.max(drawing.ink[y * drawing.widthPx + x]!, x > 300 && y > 200 ? 0.4 : 0),
  );
  expect(kindOf(tinted).kind).toBe('tint');
  expect(kindOf(made(256, 256, shaded)).kind).toBe('tone');
  expect(kindOf(noisy(made(256, 256, shaded), 0.05)).kind).toBe('tone');
});

test('a dither is screened though it has no lattice; the same picture cut at one level is not', () => {
  const picture = made(256, 256, shaded);
  expect(kindOf(diffused(picture))).toMatchObject({ kind: 'screened', twoLevel: true, screen: null });
  expect(kindOf(made(256, 256, (x, y) => (shaded(x, y) > 0.5 ? 1 : 0))).kind).toBe('line-art');
  // hairlines on the slant are a pixel wide both ways, and no specks
  expect(kindOf(made(200, 200, (x, y) => ((x + y) % 5 === 0 ? 1 : 0))).specks).toBe(0);
});

test('a scanned halftone is screened, not tone', () => {
  const scan = softened(dots(256, { periodPx: 6, angleDeg: 15 }, shaded), 1.5);
  expect(kindOf(printed(scan, 0.05, 0.9))).toMatchObject({ kind: 'screened', twoLevel: false });
});

test('one pixel of a third tone, anywhere in a picture that is looked at whole, is not missed', () => {
  const bars = made(1000, 700, (x) => (x >> 4) & 1);
  expect(readTiles(sourceOf(bars)).twoLevel).toBe(true);
  for (const at of [0, 999 * 700, 700 * 1000 - 1]) {
    const ink = bars.ink.slice();
    ink[at] = 0.5;
    expect(readTiles(sourceOf({ ...bars, ink })).twoLevel).toBe(false);
  }
});

test('a picture of 400 million pixels costs 16 tiles at most, and rows of its bands alone', () => {
  expect(tileGrid(512, 512)).toEqual({ across: 1, down: 1 });
  expect(tileGrid(2048, 2048)).toEqual({ across: 4, down: 4 });
  expect(tileGrid(20_000, 20_000)).toEqual({ across: 4, down: 4 });
  expect(tileGrid(400_000, 1000)).toEqual({ across: 16, down: 1 });
  expect(tileGrid(600, 300_000)).toEqual({ across: 1, down: 16 });
  let rows = 0;
  readTiles({
    widthPx: 3000,
    heightPx: 100_000,
    readRow(_y, into) {
      rows++;
      into.fill(0);
    },
  });
  expect(rows).toBe(512 * 16);
});

test('the smallest pictures have a kind', () => {
  for (const ink of [0, 1]) expect(kindOf(made(1, 1, () => ink)).kind).toBe('solid');
});

test.each([
  [0, 'solid'],
  [0.08, 'solid'],
  [0.15, 'flat'],
  [0.4, 'flat'],
  [0.5, 'flat'],
  [0.7, 'flat'],
  [0.92, 'solid'],
  [1, 'solid'],
])('a picture of one tone, %f, is %s and no drawing; no more does JPEG make it one', async (ink, kind) => {
  const one = made(300, 200, () => ink);
  expect(kindOf(one)).toMatchObject({
    kind,
    lightestTone: expect.closeTo(ink, 2),
    darkestTone: expect.closeTo(ink, 2),
  });
  const grey = Buffer.from(Uint8Array.from(one.ink, (share) => 255 - 255 * share));
  const raw = { width: 300, height: 200, channels: 1 } as const;
  const jpeg = await sharp(grey, { raw }).jpeg({ quality: 30 }).toBuffer();
  expect(measurePicture(await fileSource(jpeg)).kind).toBe(kind);
});

test('one stroke on it makes a drawing, a second grey two tints', () => {
  expect(kindOf(made(300, 200, (x, y) => (x === 50 && y > 20 && y < 90 ? 1 : 0))).kind).toBe('line-art');
  expect(kindOf(made(300, 200, (x) => (x < 150 ? 0.4 : 0.3))).kind).not.toBe('flat');
});

test('of a large sheet of toned paper not all is seen: it may have a drawing on it', () => {
  const sheet = (tone: number) => ({
    widthPx: 4000,
    heightPx: 4000,
    readRow: (_y: number, into: Int16Array) => into.fill(Math.round(tone * 65535) - TONE_CENTRE),
  });
  expect(measurePicture(sheet(0.15)).kind).toBe('line-art');
  expect(measurePicture(sheet(0.4)).kind).toBe('flat');
});
