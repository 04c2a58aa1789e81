import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import sharp from 'sharp';
import { describe, expect, test } from 'vitest';
import { type SetReport, setSchema } from '../../src/report/set/schema.ts';
import { cli, freshPlace, namesIn } from './run-cli.ts';

const place = freshPlace();
const DPI = 127; // five pixels to the millimetre
const [W, H] = [240, 160];
const PAPER = '#f6f2e8';

const setAt = (name: string): SetReport =>
  setSchema.parse(JSON.parse(readFileSync(join(place.path, name), 'utf8')));

const rgbOf = (colour: string): number[] =>
  [1, 3, 5].map((at) => Number.parseInt(colour.slice(at, at + 2), 16));

/** A picture of flat colours, a pixel each for a pixel of the plate: what `colourAt` says of each. */
async function draw(name: string, colourAt: (x: number, y: number) => string, w = W, h = H): Promise<void> {
  const data = new Uint8Array(3 * w * h);
  for (let y = 0; y < h; y++) for (let x = 0; x < w; x++) data.set(rgbOf(colourAt(x, y)), 3 * (y * w + x));
  await sharp(data, { raw: { width: w, height: h, channels: 3 } })
    .withMetadata({ density: DPI })
    .png()
    .toFile(join(place.path, name));
}

/** Where a relief plate prints, as libvips sees its file: light is kept, and the file is mirrored. */
async function prints(file: string): Promise<boolean[]> {
  const { data, info } = await sharp(join(place.path, file))
    .flop()
    .toColourspace('b-w')
    .raw()
    .toBuffer({ resolveWithObject: true });
  expect([info.width, info.height, info.channels]).toEqual([W, H, 1]);
  return Array.from(data, (code) => code > 127);
}

const plateFile = ({ report }: SetReport['plates'][number]): string =>
  report.files.find(({ role }) => role === 'plate')!.name;

/** A ferry's night in large patches: paper moon, water, sky, lamps, and a key around some of them. */
function scene(x: number, y: number): string {
  if (Math.hypot(x - 190, y - 30) < 18) return PAPER;
  const lamp = Math.hypot(((x - 30) % 60) - 10, y - 60);
  if (y > 30 && y < 90 && lamp < 8) return '#e0b030';
  if (lamp < 12 || (y > 84 && y < 90)) return '#20262e';
  return y < 87 ? '#3d5a80' : '#98c1d9';
}
const INKS = 'water=#98c1d9,lamps=#e0b030,sky=#3d5a80,key=#20262e';
const relief = ['--process', 'relief', '--dpi', String(DPI), '--spot', '0.2mm', '--no-compensate'];

test('key: every plate on one canvas, printed over each other the picture again; all files in place, told and true', async () => {
  await draw('night.png', scene);
  const run = await cli(place, [
    ...['separate', 'night.png', '--by', 'key', '--inks', INKS, ...relief],
    ...['--trap', '0.6mm', '--proof', '--jobsheet', '--edition', '24', '--edition-proofs', '7'],
  ]);
  expect([run.code, run.err]).toEqual([0, expect.stringContaining('4 plates of 48 × 32 mm')]);
  const set = setAt('night.set.json');
  expect(run.out.trim().split('\n').sort()).toEqual(
    namesIn(place.path).filter((name) => name !== 'night.png'),
  );
  expect(set.canvas).toMatchObject({ widthPx: W, heightPx: H, dpi: DPI });
  expect(set.plates.map(({ name }) => name)).toEqual(['water', 'lamps', 'sky', 'key']);
  for (const { report } of set.plates)
    expect([report.plate.widthPx, report.plate.heightPx, report.plate.mirrored]).toEqual([W, H, true]);
  // 31 ÷ 0.95⁴ = 38.06
  expect(set.sheets).toMatchObject({ start: 39, printings: 4 });
  const seen = Array.from({ length: W * H }, () => PAPER);
  let beyond = 0;
  for (const plate of set.plates)
    for (const [at, printed] of (await prints(plateFile(plate))).entries())
      if (printed) {
        if (scene(at % W, Math.floor(at / W)) !== plate.ink.colour) beyond++;
        seen[at] = plate.ink.colour;
      }
  expect(seen.filter((colour, at) => colour !== scene(at % W, Math.floor(at / W)))).toEqual([]);
  expect(beyond).toBeGreaterThan(500); // the traps are there
  expect(set.files.map(({ name }) => name)).toEqual([
    'night.state-1.proof.png',
    'night.state-2.proof.png',
    'night.state-3.proof.png',
    'night.proof.png',
    'night.set.html',
  ]);
  const first = await sharp(join(place.path, 'night.state-1.proof.png')).metadata();
  const last = await sharp(join(place.path, 'night.proof.png')).metadata();
  expect([first.width, first.height]).toEqual([last.width, last.height]);
  const page = readFileSync(join(place.path, 'night.set.html'), 'utf8');
  expect(page.indexOf('<bdi>water')).toBeLessThan(page.indexOf('<bdi>key'));
  expect(page).toContain('Start with <b>39</b>');
});

describe('pictures of the plates', () => {
  const stage =
    (from: number) =>
    (x: number, y: number): string =>
      x >= from || (from === 80 && x < 10 && y < 20) ? '#000000' : '#ffffff';

  test('reduction: each file goes on from what the one before left, and what it asks for beyond is clipped and counted', async () => {
    for (const from of [20, 50, 80]) await draw(`s${from}.png`, stage(from));
    const run = await cli(place, [
      ...['separate', '--by', 'reduction', '--name', 'card', ...relief, '--overlap', '0.4mm'],
      ...['--plate', 'one=s20.png', '--plate', 'two=s50.png', '--plate', 'three=s80.png'],
    ]);
    expect([run.code, run.err]).toEqual([0, expect.stringContaining('by reduction')]);
    const set = setAt('card.set.json');
    expect(set.separation).toMatchObject({ kind: 'reduction', oneBlock: true });
    const clipped = set.cautions.filter(({ code }) => code === 'stage-clipped');
    expect(clipped).toHaveLength(1);
    expect(clipped[0]!.text).toContain('three asks for 200 pixels'); // 10 × 20 in the corner
    expect(set.cautions.filter(({ code }) => code === 'one-way')).toHaveLength(2);
    let block = Array.from({ length: W * H }, () => true);
    for (const [index, plate] of set.plates.entries()) {
      const kept = await prints(plateFile(plate));
      block = block.map((here, at) => here && kept[at]!);
      const from = [20, 50, 80][index]!;
      expect(block.every((here, at) => here === at % W >= from)).toBe(true);
    }
  });

  test('reduction: what must hold is the block that all cuts so far leave, not the file by itself; times add up', async () => {
    await draw('one.png', (x) => (x >= 100 ? '#000000' : '#ffffff'));
    // between both cuts a wall of one pixel is left: 0.2 mm
    await draw('two.png', (x) => (x === 100 || x >= 200 ? '#000000' : '#ffffff'));
    const run = await cli(place, [
      ...['separate', '--by', 'reduction', '--name', 'card', ...relief, '--overlap', '0', '--passes', '2'],
      ...['--plate', 'one=one.png', '--plate', 'two=two.png', '--jobsheet'],
    ]);
    expect([run.code, run.err]).toEqual([
      0,
      expect.stringContaining('left standing after each cut: 58.3 %, 17.1 %'),
    ]);
    const set = setAt('card.set.json');
    const walls = set.plates.map(
      ({ report }) => report.hold!.checks.find(({ code }) => code === 'thin-walls')!,
    );
    expect(walls.map(({ count }) => count)).toEqual([0, 1]);
    expect(walls[1]!.places[0]!.xMm).toBeCloseTo(20, 0);
    expect(set.plates[1]!.report.cautions.map(({ code }) => code)).toContain('thin-walls');
    // 140 of 240 columns stand, then 41; the second cut takes the other 99
    const [first, second] = set.block!.states;
    expect([first!.standing, second!.standing]).toEqual(
      [140 / 240, 41 / 240].map((share) => Number(share.toFixed(9))),
    );
    expect(second!.cut).toBeCloseTo(99 / 240, 6);
    const times = set.plates.map(({ report }) => report.time!.totalS);
    expect(second!.timeS).toBeCloseTo(times[0]! + times[1]!, 6);
    expect(set.block!.cutsInOnePlace).toBe(1);
    expect(readFileSync(join(place.path, 'card.set.html'), 'utf8')).toContain('The block, cut by cut');
    // the same file by itself leaves no wall
    const alone = await cli(place, ['check', plateFile(set.plates[1]!), '--process', 'relief', '--json']);
    const checks = JSON.parse(alone.out).hold.checks as { code: string; count: number }[];
    expect(checks.find(({ code }) => code === 'thin-walls')!.count).toBe(0);
  });

  test('that do not lie over each other are refused, all of them, and nothing is written', async () => {
    await draw('a.png', stage(20));
    await draw('b.png', stage(50), W + 2, H);
    await draw('c.png', stage(80), W, H - 1);
    const run = await cli(place, [
      ...['separate', '--process', 'relief', '--width', '48mm'],
      ...['--plate', 'a=a.png', '--plate', 'b=b.png', '--plate', 'c=c.png'],
    ]);
    expect(run.code).toBe(3);
    expect(run.err).toContain('b.png is 242 × 160 px at 127 ppi, but a.png 240 × 160 px');
    expect(run.err).toContain('c.png is 240 × 159 px');
    expect(namesIn(place.path)).toEqual(['a.png', 'b.png', 'c.png']);
  });
});

test('what is wrong on the command line is told at once, with what to do', async () => {
  await draw('a.png', scene);
  const run = await cli(place, [
    ...['separate', 'a.png', '--by', 'key', '--inks', 'water=#98c1d9,sky=nocolour,=red', '--levels', '20'],
    ...['--process', 'relief', '--trap', '9mm', '--out', '-'],
  ]);
  expect(run.code).toBe(2);
  for (const words of [
    '"nocolour" is no colour',
    '"=red" has no name',
    '--levels belongs to the method tones',
    '--trap: "9mm" does not fit',
    '--out - cannot carry a set',
  ])
    expect(run.err).toContain(words);
});

test('what a method wants of its inks holds for inks that are looked for, too', async () => {
  await draw('a.png', scene);
  const cases = [
    [['tones', '--levels', '10,20,30', '--colours', '2'], '10,20,30 are 3 for 2 plates'],
    [['tones', '--levels', '40,20', '--colours', '2'], '40,20 do not rise'],
    [['tones', '--levels', '40'], '40 are 1 for 3 plates'],
    [
      ['key', '--key-ink', 'sea', '--colours', '2'],
      'there is no ink "sea". Give one of ink-1, ink-2, or none.',
    ],
  ] as const;
  for (const [args, words] of cases) {
    const run = await cli(place, ['separate', 'a.png', '--process', 'relief', '--dry-run', '--by', ...args]);
    expect([run.code, run.err]).toEqual([2, expect.stringContaining(words)]);
  }
});

test('files of plates that cannot be read, and a block of intaglio, are told with all else', async () => {
  await draw('a.png', scene);
  const before = namesIn(place.path);
  const run = await cli(place, [
    ...['separate', 'a.png', '--by', 'reduction', '--inks', 'water=#98c1d9,sky=#3d5a80', '--edition', '0'],
    ...['--process', 'intaglio', '--plate-job', 'sky=none.json', '--plate-job', 'water=nor.json'],
  ]);
  expect(run.code).toBe(2);
  for (const words of [
    '--plate-job sky: Reading the job file none.json: there is no such file',
    '--plate-job water: Reading the job file nor.json: there is no such file',
    '--edition: "0" does not fit',
    '--by reduction cuts away what has been printed, but a plate of intaglio prints what is cut',
  ])
    expect(run.err).toContain(words);
  const four = await cli(place, [
    ...['separate', 'a.png', '--by', 'fourcolour', '--inks', 'water=#98c1d9,sky=#3d5a80'],
    ...['--process', 'intaglio'],
  ]);
  expect([four.code, four.err]).toEqual([2, expect.stringContaining('goes with 4 inks, not 2. Give 4.')]);
  expect(namesIn(place.path)).toEqual(before);
});

test('a picture may be piped in; a method that is not understood is told as that alone', async () => {
  await draw('flag.png', (x) => (x < 80 ? '#20262e' : x < 160 ? '#c04030' : PAPER));
  const input = readFileSync(join(place.path, 'flag.png'));
  const args = ['separate', '--by', 'key', '--process', 'relief', '--colours', '2', '--quiet'];
  const piped = await cli(place, [...args, '-'], { input });
  expect(piped.code, piped.err).toBe(0);
  await cli(place, [...args, 'flag.png']);
  const bits = (name: string) => setAt(name).plates.map(({ report }) => report.bitsSha256);
  expect(bits('set.set.json')).toEqual(bits('flag.set.json'));
  expect(setAt('set.set.json').plates[0]!.report.input.name).toBe('standard input');
  const wrong = await cli(place, ['separate', 'flag.png', '--by', 'keys', '--process', 'relief']);
  expect([wrong.code, wrong.err.trim().split('\n')]).toEqual([
    2,
    [expect.stringContaining('--by: "keys" is not understood. Did you mean key?')],
  ]);
});
