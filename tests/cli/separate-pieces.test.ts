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

async function draw(
  name: string,
  codeAt: (x: number, y: number) => readonly number[],
  w = W,
  h = H,
): Promise<void> {
  const data = new Uint8Array(3 * w * h);
  for (let y = 0; y < h; y++) for (let x = 0; x < w; x++) data.set(codeAt(x, y), 3 * (y * w + x));
  await sharp(data, { raw: { width: w, height: h, channels: 3 } })
    .withMetadata({ density: DPI })
    .png()
    .toFile(join(place.path, name));
}

const SKY = [61, 90, 128];
const LAMP = [224, 176, 48];
const INKS = 'sky=#3d5a80,lamp=#e0b030';
/** A lamp of 20 × 12 mm, 6 mm from the left of the print and 8 mm from its head. */
const isLamp = (x: number, y: number): boolean => x >= 30 && x < 130 && y >= 40 && y < 100;
const map = (x: number, y: number): readonly number[] => (isLamp(x, y) ? LAMP : SKY);

/** Box of all points of a file of lines, in mm from the corner of its page. */
function boxIn(file: string): { left: number; right: number; top: number; bottom: number; page: string } {
  const svg = readFileSync(join(place.path, file), 'utf8');
  const [, page = ''] = /viewBox="0 0 ([^"]*)"/.exec(svg) ?? [];
  const points = [...svg.matchAll(/ d="([^"]*)"/g)].flatMap(([, d]) =>
    [...d!.matchAll(/(-?[\d.]+) (-?[\d.]+)/g)].map(([, x, y]) => [Number(x), Number(y)] as const),
  );
  const [xs, ys] = [points.map(([x]) => x), points.map(([, y]) => y)];
  return {
    left: Math.min(...xs),
    right: Math.max(...xs),
    top: Math.min(...ys),
    bottom: Math.max(...ys),
    page,
  };
}

const base = ['--by', 'pieces', '--process', 'relief', '--dpi', String(DPI), '--kerf', '0.2mm'];

test('plates cut from sheets of their own: the picture on each face, lines where the mirrored plate has them, a map of the backs', async () => {
  // stripes of 4 mm, divided by the map
  await draw('stripes.png', (x) => (Math.floor(x / 20) % 2 === 0 ? [0, 0, 0] : [255, 255, 255]));
  await draw('map.png', map);
  const run = await cli(place, [
    ...['separate', 'stripes.png', ...base, '--piece-map', 'map.png', '--cut-from', 'own-sheets'],
    ...[
      '--inks',
      INKS,
      '--screen',
      'threshold',
      '--spot',
      '0.2mm',
      '--no-compensate',
      '--proof',
      '--jobsheet',
    ],
    ...['--edition', '10'],
  ]);
  expect([run.code, run.err]).toEqual([0, expect.stringContaining('2 pieces on 2 sheets')]);
  expect(run.out.trim().split('\n').sort()).toEqual(
    namesIn(place.path).filter((name) => name !== 'stripes.png' && name !== 'map.png'),
  );
  const set = setAt('stripes.set.json');
  expect(set.plates.map(({ name }) => name)).toEqual(['sheet-1', 'sheet-2']);
  // printed in one go, so no sheet is lost but once: 10 ÷ 0.95
  expect(set.sheets).toMatchObject({ printings: 1, start: 11 });
  expect(set.register).toBeNull();
  const cut = set.cut!;
  expect(cut).toMatchObject({ of: 'plates', as: 'cut', kerfMm: 0.2, gapMm: 0, map: { name: 'map.png' } });
  const lamp = cut.pieces.find(({ ink }) => ink === 'lamp')!;
  expect([lamp.areaMm2, lamp.widthMm, lamp.heightMm]).toEqual([240, 20, 12]);
  // the plate is mirrored: from 48 − 26 to 48 − 6 mm, half a kerf more, in a page with 5 mm all round
  const lines = boxIn(`stripes.${lamp.sheet}.cut.svg`);
  expect(lines.page).toBe('58 42');
  expect([lines.left, lines.right, lines.top, lines.bottom]).toEqual([26.9, 47.1, 12.9, 25.1]);
  expect(readFileSync(join(place.path, `stripes.${lamp.sheet}.cut.pdf`), 'latin1')).toContain(
    '/MediaBox [0 0 164.4',
  );
  const plate = set.plates.find(({ name }) => name === lamp.sheet)!;
  const file = plate.report.files.find(({ role }) => role === 'plate')!.name;
  const { data } = await sharp(join(place.path, file))
    .flop()
    .toColourspace('b-w')
    .raw()
    .toBuffer({ resolveWithObject: true });
  // half a millimetre beyond the lamp the faces end: nothing is etched there
  for (let y = 0; y < H; y++)
    for (let x = 0; x < W; x++) {
      const isFace = x >= 27 && x < 133 && y >= 37 && y < 103;
      const isEtched = data[y * W + x]! < 128;
      if (isEtched !== (isFace && Math.floor(x / 20) % 2 === 1)) expect([x, y, isEtched]).toEqual([]);
    }
  expect(set.files.map(({ role }) => role)).toEqual([
    'cut',
    'cut',
    'cut',
    'cut',
    'backs',
    'backs',
    'proof',
    'jobsheet',
  ]);
  const page = readFileSync(join(place.path, 'stripes.set.html'), 'utf8');
  expect(page).toContain('Print them all in one go.');
  expect(page).not.toContain('Let each colour dry');
});

test('aids and screens of pieces go by their sheets, which are not the inks', async () => {
  await draw('flat.png', map);
  const run = await cli(place, [
    ...['separate', 'flat.png', ...base, '--cut-from', 'own-sheets', '--faces', 'picture', '--inks', INKS],
    ...['--screen', 'dot', '--width', '130mm', '--border', '13mm', '--register', 'kento', '--name', 'laid'],
  ]);
  expect([run.code, run.err]).toEqual([0, expect.stringContaining('2 pieces on 2 sheets')]);
  const set = setAt('laid.set.json');
  const sheets = set.plates.map(({ name }) => name);
  expect(sheets).toEqual(['sheet-1', 'sheet-2']);
  expect(set.aid!.lines.map(({ plate }) => plate)).toEqual(sheets);
  expect(set.files.filter(({ role }) => role === 'shelf').map(({ name }) => name)).toEqual(
    sheets.map((name) => `laid.${name}.shelf.plate.png`),
  );
  // they lie beside each other, so no pattern of two screens shows
  expect(set.beats).toEqual([]);
});

test('a sheet that is engraved and not cut gets a guide without kerf; the pieces’ own colours divide where there is no map', async () => {
  await draw('flat.png', map);
  const run = await cli(place, [
    'separate',
    'flat.png',
    ...base,
    '--inks',
    INKS,
    '--material',
    'lino',
    '--material-confirmed',
    'A. Keeper, 2026-01-05',
    '--proof',
  ]);
  expect([run.code, run.err]).toEqual([0, expect.stringContaining('a guide to cut by hand')]);
  const set = setAt('flat.set.json');
  expect(set.cut).toMatchObject({ as: 'guide', kerfMm: 0, gapMm: 0, map: null });
  expect(set.cautions.map(({ code }) => code)).toEqual(expect.arrayContaining(['outline-guide']));
  expect(set.cautions.map(({ code }) => code)).not.toContain('pieces-apart');
  const svg = readFileSync(join(place.path, 'flat.plate.cut.svg'), 'utf8');
  expect(svg).toContain('stroke-dasharray');
  expect(svg).toContain('not a line for the laser');
  // the proof has each piece in its own ink
  const { data, info } = await sharp(join(place.path, 'flat.proof.png'))
    .raw()
    .toBuffer({ resolveWithObject: true });
  const at = (xShare: number, yShare: number): number[] => {
    const i =
      info.channels * (Math.round(yShare * info.height) * info.width + Math.round(xShare * info.width));
    return [...data.subarray(i, i + 3)];
  };
  const near = (one: readonly number[], other: readonly number[]): boolean =>
    one.every((code, i) => Math.abs(code - other[i]!) < 12);
  const colours = Array.from({ length: 90 }, (_, i) => at(0.05 + 0.01 * i, 0.45));
  expect(colours.some((colour) => near(colour, LAMP))).toBe(true);
  expect(colours.some((colour) => near(colour, SKY))).toBe(true);
  // and nothing of another
  const paper = at(0.01, 0.01);
  const pure = colours.filter((colour) => [LAMP, SKY, paper].some((one) => near(colour, one)));
  expect(pure.length).toBeGreaterThan(80);
});

test('thin papers are cut for the size that they have when damp, with one plate over all', async () => {
  await draw('flat.png', map);
  const run = await cli(place, [
    ...['separate', 'flat.png', ...base, '--inks', INKS, '--cut-from', 'thin-paper', '--paper-inset', '0'],
    ...['--wet-growth', '2.5,1.2'],
  ]);
  expect([run.code, run.err]).toEqual([0, expect.stringContaining('2 papers')]);
  const set = setAt('flat.set.json');
  expect(set.plates.map(({ name }) => name)).toEqual(['plate']);
  // 20 ÷ 1.025 by 12 ÷ 1.012, and half a kerf all round
  const { left, right, top, bottom } = boxIn('flat.paper-lamp.cut.svg');
  expect(right - left).toBeCloseTo(20 / 1.025 + 0.2, 2);
  expect(bottom - top).toBeCloseTo(12 / 1.012 + 0.2, 2);
  const lamp = set.cut!.pieces.find(({ ink }) => ink === 'lamp')!;
  expect(lamp.widthMm).toBeCloseTo(20 / 1.025, 6);
  expect(lamp.heightMm).toBeCloseTo(12 / 1.012, 6);
});

test('what does not go together is told at once, with what to do, and nothing is written', async () => {
  await draw('flat.png', map);
  await draw('wide.png', map, W, H - 40);
  const before = namesIn(place.path);
  const other = await cli(place, [
    ...[
      'separate',
      'flat.png',
      '--by',
      'key',
      '--process',
      'relief',
      '--piece-map',
      'wide.png',
      '--cut-from',
      'one-sheet',
    ],
  ]);
  expect(other.code).toBe(2);
  expect(other.err).toContain('--piece-map says where pieces are cut, and nothing is cut');
  expect(other.err).toContain('--cut-from belongs to the method pieces');
  const values = await cli(place, [
    ...['separate', 'flat.png', ...base, '--cut-from', 'two', '--wet-growth', '80', '--smallest-piece', 'x'],
    ...['--plate-job', 'sky=none.json'],
  ]);
  expect(values.code).not.toBe(0);
  const moved = await cli(place, [
    ...['separate', 'flat.png', ...base, '--inks', INKS, '--register-map', '--bed-template'],
    ...['--stretch-x', '0.5%'],
  ]);
  expect(moved.code).toBe(2);
  expect(moved.err).toContain('--register-map shows what a plate bares that lies off, and pieces are put');
  expect(moved.err).toContain('--stretch-x and --stretch-y: the lines that pieces are cut along');
  expect(moved.err).toContain('--bed-template shows where the sheet lies, and no sheet is known');
  const shape = await cli(place, [
    'separate',
    'flat.png',
    ...base,
    '--inks',
    INKS,
    '--piece-map',
    'wide.png',
    '--width',
    '48mm',
  ]);
  expect(shape.code).toBe(3);
  expect(shape.err).toContain('--piece-map: wide.png would be 240 × 120 pixels of the plate');
  const missing = await cli(place, [
    'separate',
    'flat.png',
    ...base,
    '--inks',
    INKS,
    '--piece-map',
    'no.png',
  ]);
  expect(missing.code).not.toBe(0);
  expect(missing.err).toContain('no.png');
  expect(namesIn(place.path)).toEqual(before);
});
