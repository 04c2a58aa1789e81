import { createHash } from 'node:crypto';
import {
  chmodSync,
  cpSync,
  fstatSync,
  mkdirSync,
  openSync,
  readdirSync,
  readFileSync,
  writeFileSync,
} from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { EtchError } from '../../../src/core/errors.ts';
import { decodePicture } from '../../../src/io/read/decode.ts';
import { inspectPicture } from '../../../src/io/read/inspect.ts';
import { openPicture } from '../../../src/io/read/open.ts';
import type { Decoded } from '../../../src/io/read/reader.ts';
import {
  corpusFiles,
  corpusPath,
  emptyFolder,
  expected,
  greyOf,
  greyOfSrgb,
  openAny,
  openCorpus,
} from './pictures.ts';

const failure = async (opening: Promise<unknown>): Promise<EtchError> => {
  const error = await opening.then(
    () => undefined,
    (reason: unknown) => reason,
  );
  expect(error).toBeInstanceOf(EtchError);
  return error as EtchError;
};

test('C09 the grey rule: luminance in linear light, neutral greys keep their code', async () => {
  const grey = greyOf(await openCorpus('good/gen-rgb-primaries.png'));
  const patches = expected['good/gen-rgb-primaries.png']!.srgb!;
  const seen = patches.map((_, patch) => grey.at(patch * 16 + 8, 8));
  for (const [patch, rgb] of patches.entries()) {
    expect(Math.abs(seen[patch]! - greyOfSrgb(rgb)), `patch ${rgb}`).toBeLessThanOrEqual(1);
  }
  expect(seen[0]).toBe(127);
  expect(seen.slice(6)).toEqual([128, 64]);
});

test('C09 every neutral 8-bit grey keeps its code', async () => {
  const grey = greyOf(await openCorpus('good/gen-wedge21.png'));
  const file = 'good/gen-wedge21.png';
  for (const [x, y, code] of expected[file]!.probes) expect(grey.at(x, y)).toBe(code);
});

test.each(['png', 'la.png', 'trns-grey8.png', 'trns-pal.png', 'trns.gif'])(
  'C11 transparency is paper: %s',
  async (kind) => {
    const names: Record<string, string> = { png: 'gen-alpha-hidden-black.png', 'la.png': 'gen-alpha-la.png' };
    const file = `good/${names[kind] ?? `gen-${kind}`}`;
    const picture = await openCorpus(file);
    expect(picture.facts.alpha).toBe(true);
    const grey = greyOf(picture);
    for (const [at, code] of Object.entries(expected[file]!.over_white!)) {
      const [x, y] = at.split(',').map(Number);
      expect(grey.at(x!, y!)).toBe(code);
    }
  },
);

test('C11 clear over hidden black: a third of the picture is ink', async () => {
  const grey = greyOf(await openCorpus('good/gen-alpha-hidden-black.png'));
  let ink = 0;
  for (let y = 0; y < 20; y++) for (let x = 0; x < 30; x++) ink += 1 - grey.at(x, y) / 255;
  expect(ink / 600).toBeCloseTo(1 / 3, 2);
});

test.each(['gen-ramp16.png', 'gen-ramp16-le.tif', 'gen-ramp16-be.tif'])(
  'C13 16 bits are kept: %s',
  async (name) => {
    const picture = await openCorpus(`good/${name}`);
    expect(picture.facts.depthBits).toBe(16);
    const grey = greyOf(picture);
    for (const [at, code] of Object.entries(expected[`good/${name}`]!.grey16_at!)) {
      const [x, y] = at.split(',').map(Number);
      expect(grey.raw(x!, y!)).toBe(code);
    }
    const codes = Array.from({ length: 256 * 16 }, (_, at) => grey.at(at % 256, at >> 8));
    expect(new Set(codes.map(Math.round)).size).toBeGreaterThanOrEqual(250);
    expect(Math.abs(codes.reduce((sum, code) => sum + code, 0) / codes.length - 127.5)).toBeLessThan(1);
  },
);

const orientations = ['jpg', 'png', 'webp', 'tif'].flatMap((kind) =>
  [1, 2, 3, 4, 5, 6, 7, 8].map((orientation) => ({ kind, orientation })),
);
test.each(orientations)(
  'C15 orientation $orientation of a $kind is followed',
  async ({ kind, orientation }) => {
    const file = `good/gen-orient-${orientation}.${kind}`;
    const { quads, tolerance = 1 } = expected[file]!;
    const picture = await openCorpus(file);
    expect(picture.facts).toMatchObject({ orientation, uprightWidthPx: 60, uprightHeightPx: 40 });
    expect([picture.facts.widthPx, picture.facts.heightPx]).toEqual(orientation > 4 ? [40, 60] : [60, 40]);
    const grey = greyOf(picture);
    const middles = [grey.at(15, 10), grey.at(45, 10), grey.at(15, 30), grey.at(45, 30)];
    for (const [quad, code] of quads!.entries()) {
      expect(Math.abs(middles[quad]! - code), `quadrant ${quad}`).toBeLessThanOrEqual(tolerance);
    }
  },
);

test.each(Object.keys(expected).filter((file) => file.includes('gen-icc')))(
  'C17 %s is read through its profile',
  async (file) => {
    const { srgb, srgb_grey, tolerance = 1, profile } = expected[file]!;
    const picture = await openCorpus(file);
    expect(picture.facts.profile).toBe(profile);
    const grey = greyOf(picture);
    const wanted = srgb_grey ?? srgb!.map(greyOfSrgb);
    for (const [patch, code] of wanted.entries()) {
      expect(Math.abs(grey.at(patch * 16 + 8, 8) - code), `patch ${patch}`).toBeLessThanOrEqual(tolerance);
    }
  },
);

test.each(corpusFiles('broken').filter((file) => /trunc|bitflip/.test(file)))(
  'C29 %s is refused by name',
  async (file) => {
    const scratchDir = emptyFolder();
    const error = await failure(openCorpus(file, { scratchDir }));
    expect(error).toMatchObject({ kind: 'input', code: 'picture-corrupt' });
    expect(error.message).toContain(`"${file.slice(7)}"`);
    expect(error.message).toContain('truncated or corrupt');
    expect(readdirSync(scratchDir)).toEqual([]);
  },
);

test('what is no picture file is told apart', async () => {
  const folder = emptyFolder();
  writeFileSync(join(folder, 'empty.png'), '');
  mkdirSync(join(folder, 'folder.png'));
  const codes = await Promise.all(
    ['missing.png', 'empty.png', 'folder.png'].map(
      async (name) => (await failure(openAny(join(folder, name)))).code,
    ),
  );
  expect(codes).toEqual(['picture-not-found', 'picture-empty', 'picture-is-folder']);
  expect(await failure(openCorpus('broken/gen-text.png'))).toMatchObject({
    kind: 'input',
    code: 'not-a-picture',
  });
  expect((await failure(openAny('/dev/zero'))).code).toBe('picture-not-a-file');
});

test.skipIf(process.getuid?.() === 0)('a file that may not be read is told apart', async () => {
  const file = join(emptyFolder(), 'secret.png');
  cpSync(corpusPath('good/gen-wedge21.png'), file);
  chmodSync(file, 0o000);
  expect((await failure(openAny(file))).code).toBe('picture-no-permission');
});

test('too many pixels are refused before decoding, naming size, limit and option', async () => {
  // The truncated file would fail to decode: the refusal comes first, so nothing was decoded.
  const error = await failure(openCorpus('broken/gen-trunc50.png', { maxPixels: 307_199 }));
  expect(error).toMatchObject({ kind: 'input', code: 'picture-too-large' });
  expect(error.message).toMatch(/640 × 480 px.*307,200.*307,199/);
  expect(error.hint).toContain('--max-pixels 307200');
  expect((await openCorpus('good/gen-engraving.png', { maxPixels: 307_200 })).close()).toBeUndefined();
});

test('nothing is left in the scratch folder, even while the picture is open', async () => {
  const scratchDir = emptyFolder();
  const picture = await openCorpus('good/gen-wedge21.png', { scratchDir });
  expect(readdirSync(scratchDir)).toEqual([]);
  greyOf(picture);
});

test('facts name the file, its bytes and its own resolution', async () => {
  const { facts, close } = await openCorpus('good/gen-wedge21.png');
  close();
  const bytes = readFileSync(corpusPath('good/gen-wedge21.png'));
  expect(facts).toMatchObject({
    name: 'gen-wedge21.png',
    sha256: createHash('sha256').update(bytes).digest('hex'),
    format: 'png',
    frames: 1,
    depthBits: 8,
    profile: null,
    cautions: [],
    sizeMm: { widthMm: expect.closeTo((420 / 299.9994) * 25.4, 6) },
  });
  // pHYs 11811 pixels a metre, stated in metres: 11811 × 0.0254.
  expect(facts.ppiX).toBeCloseTo(299.9994, 4);
  expect(facts.ppiY).toBeCloseTo(299.9994, 4);
});

test('the kind of file is known by content, whatever its name', async () => {
  const folder = emptyFolder();
  for (const name of ['picture.jpg', 'picture', 'a.png[page=3]', 'ä – 版.tif', 'picture[1].png']) {
    cpSync(corpusPath('good/gen-wedge21.png'), join(folder, name));
    const { facts, close } = await openAny(join(folder, name));
    close();
    expect(facts).toMatchObject({ name, format: 'png', widthPx: 420 });
  }
});

test('giving up ends at once and leaves nothing behind', async () => {
  const scratchDir = emptyFolder();
  const path = corpusPath('good/gen-zoneplate.png');
  const options = { maxPixels: 1e8, scratchDir };
  const stopped = new EtchError('interrupted', 'interrupted', 'Stopped.', '');
  const inspecting = new AbortController();
  const opening = openPicture({ path, name: 'z' }, options, inspecting.signal);
  inspecting.abort(stopped);
  await expect(opening).rejects.toBe(stopped);

  const decoding = new AbortController();
  const slow = await inspectPicture({ path, name: 'z' }, options);
  let finish = (_: Decoded) => {};
  const endless = { ...slow.opened, decode: () => new Promise<Decoded>((resolve) => (finish = resolve)) };
  const decoded = decodePicture({ ...slow, opened: endless }, {}, decoding.signal);
  setTimeout(() => decoding.abort(stopped), 20);
  await expect(decoded).rejects.toBe(stopped);
  expect(readdirSync(scratchDir)).toEqual([]);
  // An outcome that comes too late is closed.
  const fd = openSync(path, 'r');
  finish({
    samples: { fd, widthPx: 1, heightPx: 1, bands: 1, bytesPerSample: 1, offsetBytes: 64 },
    curve: null,
  });
  await new Promise((resolve) => setTimeout(resolve, 5));
  expect(() => fstatSync(fd)).toThrow('EBADF');
});

test('a page that is not there is a mistake of use, whatever reads the file', async () => {
  for (const page of [2, 0, 1.5]) {
    for (const file of [
      'good/gen-wedge21.png',
      'odd/gen-text.svg',
      '../pictures/rgb24.bmp',
      '../pictures/rgb.ppm',
    ]) {
      const error = await failure(openCorpus(file, { page }));
      expect(error, file).toMatchObject({ kind: 'usage', code: 'no-such-page' });
    }
  }
});
