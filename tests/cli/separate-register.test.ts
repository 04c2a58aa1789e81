import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import sharp from 'sharp';
import { expect, test } from 'vitest';
import { type SetReport, setSchema } from '../../src/report/set/schema.ts';
import { cli, freshPlace, namesIn } from './run-cli.ts';

const place = freshPlace();
const DPI = 127; // five pixels to the millimetre
const [W, H] = [240, 160];

const setAt = (name: string): SetReport =>
  setSchema.parse(JSON.parse(readFileSync(join(place.path, name), 'utf8')));

/** A dark key between sky and water, a pixel each for a pixel of the plate. */
async function drawScene(): Promise<void> {
  const data = new Uint8Array(3 * W * H);
  for (let y = 0; y < H; y++)
    for (let x = 0; x < W; x++) {
      const lamp = Math.hypot(x - 60, y - 50);
      const colour =
        lamp < 20 || (y > 76 && y < 90)
          ? [0x20, 0x26, 0x2e]
          : y < 80
            ? [0x3d, 0x5a, 0x80]
            : [0x98, 0xc1, 0xd9];
      data.set(colour, 3 * (y * W + x));
    }
  await sharp(data, { raw: { width: W, height: H, channels: 3 } })
    .withMetadata({ density: DPI })
    .png()
    .toFile(join(place.path, 'night.png'));
}

const KEY = ['--by', 'key', '--inks', 'water=#98c1d9,sky=#3d5a80,key=#20262e', '--process', 'relief'];
const RELIEF = ['--dpi', String(DPI), '--spot', '0.2mm', '--no-compensate'];

interface Seen {
  readonly width: number;
  readonly height: number;
  /** What prints, print-reading: light is kept, and the file is mirrored. */
  at(x: number, y: number): boolean;
}

async function seen(name: string): Promise<Seen> {
  const { data, info } = await sharp(join(place.path, name))
    .flop()
    .toColourspace('b-w')
    .raw()
    .toBuffer({ resolveWithObject: true });
  const { width, height } = info;
  return { width, height, at: (x, y) => data[y * width + x]! > 127 };
}

const plateFile = ({ report }: SetReport['plates'][number]): string =>
  report.files.find(({ role }) => role === 'plate')!.name;

test('crosses: at the same places of every plate, the key with the other scale; map, template and sheet beside them', async () => {
  await drawScene();
  const run = await cli(place, [
    ...['separate', 'night.png', ...KEY, ...RELIEF, '--width', '80mm', '--border', '16mm'],
    ...['--register', 'crosses', '--register-map', '--bed-template', '--paper-size', 'a4', '--jobsheet'],
  ]);
  expect([run.code, run.err]).toEqual([0, expect.stringContaining('3 plates of 80 × 64 mm')]);
  const set = setAt('night.set.json');
  // 48 × 32 mm of 80 × 64 are picture
  expect(set.aid).toMatchObject({
    kind: 'crosses',
    first: 'key',
    borderMm: 16,
    wasteShare: 0.7,
    shelfMm: null,
  });
  expect(set.register).toMatchObject({ aid: 'crosses', trustedMm: set.aid!.trueMm });
  // a pixel of 0.2 mm is too coarse to read tenths by
  expect(set.cautions.map(({ code }) => code)).toEqual(
    expect.arrayContaining(['register-waste', 'register-coarse']),
  );
  expect(set.files.map(({ role, name }) => [role, name])).toEqual([
    ['bed', 'night.bed.pdf'],
    ['register', 'night.register.png'],
    ['jobsheet', 'night.set.html'],
  ]);
  expect(run.out.trim().split('\n').sort()).toEqual(
    namesIn(place.path).filter((name) => name !== 'night.png'),
  );
  const [water, sky, key] = (await Promise.all(set.plates.map(plateFile).map(seen))) as [Seen, Seen, Seen];
  // middles of the waste are 8 mm from the edges, arms 6 mm long: their pixels print, a millimetre beyond nothing does
  for (const plate of [water, sky, key])
    for (const [x, y] of [
      [200, 40],
      [200, 280],
      [40, 160],
      [360, 160],
    ] as const) {
      for (const off of [-28, -14, 0, 14, 28]) {
        expect(plate.at(x + off, y)).toBe(true);
        expect(plate.at(x, y + off)).toBe(true);
      }
      for (const off of [-35, 35])
        expect([plate.at(x + off, y), plate.at(x, y + off)]).toEqual([false, false]);
    }
  let apart = 0;
  for (let y = 0; y < 320; y++)
    for (let x = 0; x < 400; x++) {
      if (x >= 80 && x < 320 && y >= 80 && y < 240) continue;
      expect(water.at(x, y)).toBe(sky.at(x, y));
      if (key.at(x, y) !== sky.at(x, y)) apart++;
    }
  expect(apart).toBeGreaterThan(500);
  const page = readFileSync(join(place.path, 'night.set.html'), 'utf8');
  expect(page).toContain('key carries the scale of whole millimetres');
  expect(page).toContain('night.register.png');
  expect(page).toMatch(/With one plate 0\.5 mm off most paper shows at/);
  expect(page).not.toMatch(/undefined|NaN/);
});

test('stretch: the plates are larger, told with both sizes; undone, every edge lies within a pixel of where it was', async () => {
  await drawScene();
  const words = [
    'separate',
    'night.png',
    ...KEY,
    ...RELIEF,
    '--width',
    '48mm',
    '--json',
    '--quiet',
    '--proof',
  ];
  const plain = await cli(place, [...words, '--name', 'plain']);
  const run = await cli(place, [...words, '--name', 'damp', '--stretch-x', '1.5%', '--stretch-y', '0.7%']);
  expect([plain.code, run.code, run.err]).toEqual([0, 0, '']);
  const [before, after] = [setAt('plain.set.json'), setAt('damp.set.json')];
  // 48 ÷ 0.985 and 32 ÷ 0.993, worked by hand
  for (const { report } of after.plates) {
    expect(report.plate.widthMm).toBeCloseTo(48.730964, 5);
    expect(report.plate.heightMm).toBeCloseTo(32.225579, 5);
    expect(report.plate.printMm).toEqual({ width: 48, height: 32 });
    expect(report.job).toMatchObject({
      widthMm: 48,
      heightMm: 32,
      stretchXPercent: 1.5,
      stretchYPercent: 0.7,
    });
  }
  expect(after.canvas).toEqual(before.canvas);
  expect(after.register).toEqual(before.register);
  for (const [index, plate] of after.plates.entries()) {
    const [damp, dry] = [await seen(plateFile(plate)), await seen(plateFile(before.plates[index]!))];
    expect([damp.width, damp.height]).toEqual([244, 161]);
    for (let y = 0; y < damp.height; y++)
      for (let x = 0; x < damp.width; x++) {
        const [u, v] = [Math.floor((x + 0.5) * 0.985), Math.floor((y + 0.5) * 0.993)];
        const near = [-1, 0, 1].some((dy) =>
          [-1, 0, 1].some((dx) => {
            const [nx, ny] = [Math.min(W - 1, Math.max(0, u + dx)), Math.min(H - 1, Math.max(0, v + dy))];
            return dry.at(nx, ny) === damp.at(x, y);
          }),
        );
        if (!near) throw new Error(`${plate.name} at ${x}, ${y}`);
      }
  }
  const [one, other] = await Promise.all(
    ['plain.proof.png', 'damp.proof.png'].map((name) => sharp(join(place.path, name)).metadata()),
  );
  expect([other!.width, other!.height]).toEqual([one!.width, one!.height]);
});

test('kento: recesses are files of their own; of one block the first cut alone engraves the border', async () => {
  await drawScene();
  const run = await cli(place, [
    ...['separate', 'night.png', '--by', 'reduction', '--colours', '2', '--process', 'relief', ...RELIEF],
    ...['--width', '150mm', '--border', '13mm', '--register', 'kento', '--json', '--quiet'],
  ]);
  expect([run.code, run.err]).toEqual([0, '']);
  const set = setAt('night.set.json');
  expect(set.aid).toMatchObject({ kind: 'kento', first: null, shelfMm: { least: 0.3, most: 1 } });
  expect(set.files.map(({ role, name }) => [role, name])).toEqual([
    ['shelf', 'night.stage-1.shelf.plate.png'],
  ]);
  const [first, second] = (await Promise.all(set.plates.map(plateFile).map(seen))) as [Seen, Seen];
  const shelf = await seen('night.stage-1.shelf.plate.png');
  expect([shelf.width, shelf.height]).toEqual([first.width, first.height]);
  // at the head nothing prints after the first cut; the second leaves it alone
  expect([first.at(400, 10), second.at(400, 10)]).toEqual([false, true]);
  // at the lower left of the print: a wall of 4.5 mm stays, what lies inside it is cut away by the shelf alone
  const foot = first.height - 1;
  expect([first.at(10, foot - 10), shelf.at(10, foot - 10)]).toEqual([true, true]);
  expect([first.at(40, foot - 26), shelf.at(40, foot - 26)]).toEqual([true, false]);
});

test('what does not go together is told at once, and what finds no room before any plate is made', async () => {
  await drawScene();
  const wrong = await cli(place, [
    ...['separate', 'night.png', '--by', 'tones', '--process', 'relief', '--register', 'cross', '--dry-run'],
    ...['--register-map', '--paper-size', 'moon', '--stretch-x', '-1'],
  ]);
  expect(wrong.code).toBe(2);
  for (const words of [
    '--register: "cross" is not understood. Did you mean crosses?',
    '--paper-size: "moon" is not understood',
    '--paper-size is for the template',
    '--dry-run writes no files, so --register-map',
    '--stretch-x: "-1"',
  ])
    expect(wrong.err).toContain(words);
  const narrow = await cli(place, [
    ...['separate', 'night.png', ...KEY, ...RELIEF, '--border', '5mm', '--register', 'crosses'],
  ]);
  expect([narrow.code, narrow.err]).toEqual([
    2,
    expect.stringMatching(
      /the border is 5 mm, and it needs 14\.[\d]+ mm\. Give --border 14\.[\d]+ mm or more/,
    ),
  ]);
  const small = await cli(place, [
    ...['separate', 'night.png', ...KEY, ...RELIEF, '--bed-template', '--paper-size', '40x60mm'],
  ]);
  expect([small.code, small.err]).toEqual([
    2,
    expect.stringContaining('does not lie on paper of 40 × 60 mm'),
  ]);
  expect(namesIn(place.path)).toEqual(['night.png']);
});
