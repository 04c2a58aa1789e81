import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { PNG } from 'pngjs';
import sharp from 'sharp';
import { describe, expect, test } from 'vitest';
import { checkSchema } from '../../src/report/check-schema.ts';
import { reportSchema } from '../../src/report/schema.ts';
import { corpus } from '../run/pictures.ts';
import { cli, freshPlace } from './run-cli.ts';

const place = freshPlace();
const DPI = 500;
const PITCH = 25.4 / DPI;
const px = (mm: number): number => Math.round(mm / PITCH);

interface Box {
  readonly x: number;
  readonly y: number;
  readonly w: number;
  readonly h: number;
}

/** A plate file drawn by hand, all of it etched (black) or kept (white), with boxes of the other side; mm. */
async function drawPlate(
  name: string,
  size: { w: number; h: number },
  etched: boolean,
  boxes: readonly Box[],
) {
  const [w, h] = [px(size.w), px(size.h)];
  const codes = new Uint8Array(w * h).fill(etched ? 0 : 255);
  for (const box of boxes)
    for (let y = px(box.y); y < px(box.y) + Math.max(1, px(box.h)); y++)
      codes.fill(etched ? 255 : 0, y * w + px(box.x), y * w + px(box.x) + Math.max(1, px(box.w)));
  const path = join(place.path, name);
  await sharp(codes, { raw: { width: w, height: h, channels: 1 } })
    .withMetadata({ density: DPI })
    .png()
    .toFile(path);
  return path;
}

type Check = ReturnType<typeof checkSchema.parse>;
const found = (report: Check) =>
  Object.fromEntries(
    report.hold!.checks.filter(({ count }) => count > 0).map((check) => [check.code, check]),
  );
const near = (place: { xMm: number; yMm: number }, x: number, y: number) => {
  expect(Math.abs(place.xMm - x)).toBeLessThanOrEqual(1.5 * PITCH);
  expect(Math.abs(place.yMm - y)).toBeLessThanOrEqual(1.5 * PITCH);
};

describe('a plate drawn with known faults', () => {
  test('relief: a wall of 0.2 mm, a dot of 0.1 mm, a gap of 0.15 mm, a clearing of 62 mm, each at its place and nothing else', async () => {
    // a kept frame of 3 mm well inside, so that nothing lies at the edge; spot 0.05 mm ≈ the pitch, so widths are as drawn
    const plate = await drawPlate('block.png', { w: 100, h: 80 }, true, [
      { x: 5, y: 5, w: 8, h: 70 },
      { x: 76, y: 5, w: 8, h: 70 },
      // two kept bars with a gap of 0.15 mm between them
      { x: 86, y: 20, w: 3, h: 10 },
      { x: 89.15, y: 20, w: 3, h: 10 },
      // a wall of 0.2 mm and a dot of 0.1 mm
      { x: 88, y: 50, w: 0.2, h: 12 },
      { x: 90, y: 40, w: 0.1, h: 0.1 },
    ]);
    const args = [
      '--process',
      'relief',
      '--spot',
      '0.0508mm',
      '--depth',
      '4mm',
      '--material',
      'wood',
      '--json',
    ];
    const { code, out } = await cli(place, ['check', plate, ...args]);
    expect(code).toBe(0);
    const report = checkSchema.parse(JSON.parse(out));
    const faults = found(report);
    expect(Object.keys(faults).sort()).toEqual(['floor-prints', 'gaps-fill', 'small-dots', 'thin-walls']);
    expect(faults['thin-walls']!.count).toBe(1);
    expect(faults['thin-walls']!.worstMm).toBeCloseTo(0.2, 1);
    near(faults['thin-walls']!.places[0]!, 88, 50);
    expect(faults['small-dots']!.count).toBe(1);
    near(faults['small-dots']!.places[0]!, 90, 40);
    expect(faults['gaps-fill']!.count).toBe(1);
    expect(faults['gaps-fill']!.worstMm).toBeCloseTo(0.15, 1);
    near(faults['gaps-fill']!.places[0]!, 89, 20);
    // between the two bars: 76 − 13 = 63 mm, as wide as the circle that fits
    expect(faults['floor-prints']!.count).toBe(1);
    expect(faults['floor-prints']!.worstMm).toBeCloseTo(63, 0);
  });

  test('intaglio: a pool of 3 mm is open bite, at its place and nothing else', async () => {
    const plate = await drawPlate('plate.png', { w: 60, h: 40 }, false, [
      { x: 20, y: 15, w: 3, h: 3 },
      { x: 40, y: 10, w: 0.4, h: 15 },
    ]);
    const { out } = await cli(place, ['check', plate, '--process', 'intaglio', '--json']);
    const report = checkSchema.parse(JSON.parse(out));
    const faults = found(report);
    expect(Object.keys(faults)).toEqual(['open-bite']);
    expect(faults['open-bite']!.count).toBe(1);
    // spot 0.1 mm on a pitch of 0.0508: a pool comes out (n − 1) · pitch + spot wide
    expect(Math.abs(faults['open-bite']!.worstMm! - 3.05)).toBeLessThan(2 * PITCH);
    const spotPlace = faults['open-bite']!.places[0]!;
    expect(Math.abs(spotPlace.xMm + spotPlace.widthMm / 2 - 21.5)).toBeLessThan(2 * PITCH);
    expect(Math.abs(spotPlace.yMm + spotPlace.heightMm / 2 - 16.5)).toBeLessThan(2 * PITCH);
  });
});

test('a plate of ours measures as its report says, whatever the format', async () => {
  const formats = 'png,tiff,bmp';
  const made = await cli(place, [
    ...['prepare', corpus('good/gen-wedge21.png'), '--process', 'intaglio', '--width', '30', '--name', 'w'],
    ...['--format', formats],
  ]);
  expect(made.code).toBe(0);
  const report = reportSchema.parse(JSON.parse(readFileSync(join(place.path, 'w.report.json'), 'utf8')));
  for (const { name } of report.files) {
    const { code, out } = await cli(place, ['check', name, '--process', 'intaglio', '--json']);
    expect(code).toBe(0);
    const checked = checkSchema.parse(JSON.parse(out));
    expect(checked.coverage.etched).toBeCloseTo(report.coverage.etched, 9);
    expect(checked.coverage.predicted).toBeCloseTo(report.coverage.predicted!, 9);
    expect([checked.plate.widthPx, checked.plate.heightPx, checked.plate.dpi]).toEqual([
      report.plate.widthPx,
      report.plate.heightPx,
      500,
    ]);
    expect(checked.time!.perPassS).toBeCloseTo(report.time!.perPassS, 6);
  }
});

test('greys are told, a missing resolution is asked for, and --strict refuses', async () => {
  // pngjs states no resolution; sharp would state 72 dpi that nobody asked for
  const grey = new PNG({ width: 60, height: 40 });
  grey.data.fill(0x80);
  const plain = PNG.sync.write(grey, { colorType: 2 });
  writeFileSync(join(place.path, 'grey.png'), plain);
  const asked = await cli(place, ['check', 'grey.png']);
  expect(asked.code).toBe(2);
  expect(asked.err).toContain('--dpi');
  const told = await cli(place, ['check', 'grey.png', '--dpi', '500', '--json']);
  expect(told.code).toBe(0);
  expect(JSON.parse(told.out).cautions.map(({ code }: { code: string }) => code)).toContain('greys');
  const strict = await cli(place, ['check', 'grey.png', '--dpi', '500', '--strict']);
  expect(strict.code).toBe(5);
});

describe('workshop', () => {
  test('init writes a file that is found, read and shown; it is not written over', async () => {
    const init = await cli(place, ['workshop', 'init']);
    expect([init.code, init.out.trim().split('\n')]).toEqual([
      0,
      ['etchwright.workshop.json', 'etchwright.workshop.schema.json'],
    ]);
    expect((await cli(place, ['workshop', 'init'])).code).toBe(4);
    const shown = await cli(place, ['workshop', 'show', '--json']);
    const { file, values } = JSON.parse(shown.out);
    expect(file).toBe('etchwright.workshop.json');
    const of = (what: string) => values.find((row: { what: string }) => row.what === what);
    expect(of('laser.slotMinutes')).toMatchObject({ value: '60', origin: 'workshop' });
    expect(of('laser.spotMm')).toMatchObject({ value: '0.1', origin: 'default, from memory' });
    const schema = JSON.parse(readFileSync(join(place.path, 'etchwright.workshop.schema.json'), 'utf8'));
    expect(schema.properties.machines.items.properties.spotMm.description).toBeTruthy();
  });

  test('every mistake in a workshop file is told at once, with its place, before a picture is opened', async () => {
    const file = {
      version: 1,
      name: 'x',
      machines: [{ id: 'a', spotMm: -1, powr: 3 }],
      presses: [{ id: 'p', kind: 'spoon' }],
    };
    writeFileSync(join(place.path, 'etchwright.workshop.json'), JSON.stringify(file));
    const { code, err } = await cli(place, ['prepare', 'none.png', '--process', 'relief', '--width', '10']);
    expect(code).toBe(2);
    for (const where of ['machines.0.spotMm', 'powr', 'presses.0.kind']) expect(err).toContain(where);
  });

  test('its machine, slot and sheet are what a plate is held against', async () => {
    const file = {
      version: 1,
      name: 'Ennerby Quay',
      machines: [{ id: 'old laser', spotMm: 0.15, speedMmS: 100, accelMmS2: 1000, slotMinutes: 1 }],
      materials: [{ id: 'pear', kind: 'wood', minWallMm: 0.22, confirmedBy: 'A. Keel, 3 May' }],
    };
    writeFileSync(join(place.path, 'etchwright.workshop.json'), JSON.stringify(file));
    const { code, out } = await cli(place, [
      ...[
        'prepare',
        corpus('good/gen-wedge21.png'),
        '--process',
        'relief',
        '--width',
        '60',
        '--material',
        'pear',
      ],
      ...['--json', '--name', 'x'],
    ]);
    expect(code).toBe(0);
    const report = reportSchema.parse(JSON.parse(out));
    expect(report.workshop).toMatchObject({ name: 'Ennerby Quay', machine: 'old laser' });
    expect(report.material).toMatchObject({ id: 'pear', kind: 'wood', confirmedBy: 'A. Keel, 3 May' });
    expect(report.job).toMatchObject({ spotMm: 0.15 });
    expect(report.origins).toMatchObject({ spotMm: 'workshop' });
    expect(report.hold!.checks.find(({ code }) => code === 'thin-walls')).toMatchObject({
      limitMm: 0.22,
      basis: 'measured',
    });
    expect(report.time!.fits).toBe(false);
    expect(report.cautions.map(({ code }) => code)).toContain('slot-overrun');
  });
});

test('a sheet on the never-list is refused, exit 5, and nothing is written', async () => {
  const { code, err, out } = await cli(place, [
    ...['prepare', corpus('good/gen-wedge21.png'), '--process', 'relief', '--width', '20'],
    ...['--material', 'soft lino (PVC)', '--material-confirmed', 'A. Keel, today', '--json'],
  ]);
  expect(code).toBe(5);
  expect(JSON.parse(err).error.code).toBe('material-never');
  expect(JSON.parse(out).files).toEqual([]);
});
