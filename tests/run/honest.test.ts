/** What machine and sheet will make of a plate, over the whole way. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import sharp from 'sharp';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { makePlate, oneToOne } from './make.ts';

let folder: string;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'etchwright-test-honest-'));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** A smooth picture with every tone and some texture, like a photograph of a landscape. */
async function photograph(): Promise<string> {
  const [w, h] = [600, 400];
  const codes = Uint8Array.from({ length: w * h }, (_, i) => {
    const [x, y] = [i % w, Math.floor(i / w)];
    return Math.max(0, Math.min(255, 90 - y / 3 + 60 * Math.sin(x / 70) + 25 * Math.sin(x / 5 + y / 7)));
  });
  const path = join(folder, 'photo.png');
  await sharp(codes, { raw: { width: w, height: h, channels: 1 } })
    .png()
    .toFile(path);
  return path;
}

const codes = (report: { cautions: readonly { code: string }[] }): string[] =>
  report.cautions.map(({ code }) => code);

describe('a photograph diffused at 500 dpi, capped at 80 %, under a spot of 0.1 mm', () => {
  test('is cautioned as one open-bite field, and following the cure takes the caution away', async () => {
    const photo = await photograph();
    const job = { process: 'intaglio', screen: 'errordiffusion', widthMm: '60mm' };
    const { report } = await makePlate(folder, photo, job, 'fine');
    const field = report.cautions.find(({ code }) => code === 'open-bite-field');
    expect(field).toBeDefined();
    expect(report.hold?.checks.find(({ code }) => code === 'open-bite-field')?.count).toBe(1);
    // two discs to a pitch burn 40 % of single pixels to far more: the plate is nearly bare of ground
    expect(report.coverage.predicted!).toBeGreaterThan(report.coverage.etched + 0.2);
    const dpi = /--dpi (\d+)/.exec(field!.cure)?.[1];
    const cured = await makePlate(folder, photo, { ...job, dpi: dpi! }, 'cured');
    expect(codes(cured.report)).not.toContain('open-bite-field');
    expect(codes(cured.report)).not.toContain('thin-lands');
  });
});

test('a known spot narrows line art, an unknown one does not, and a wish can forbid it', async () => {
  const bars = Uint8Array.from({ length: 200 * 100 }, (_, i) => ((i % 200) % 20 < 10 ? 0 : 255));
  const picture = join(folder, 'bars.png');
  await sharp(bars, { raw: { width: 200, height: 100, channels: 1 } })
    .png()
    .toFile(picture);
  const job = { process: 'intaglio', screen: 'threshold', capPercent: '100', ...oneToOne(200, 100, 508) };
  const unknown = await makePlate(folder, picture, job, 'unknown');
  const known = await makePlate(folder, picture, { ...job, spotMm: '0.1mm' }, 'known');
  const forbidden = await makePlate(
    folder,
    picture,
    { ...job, spotMm: '0.1mm', compensate: false },
    'forbidden',
  );
  expect(unknown.report.coverage.etched).toBe(0.5);
  expect(forbidden.report.bitsSha256).toBe(unknown.report.bitsSha256);
  // pitch 0.05 mm, spot 0.1 mm: one pixel less on each bar, and what is really etched comes back to the half
  expect(known.report.coverage.etched).toBeCloseTo(0.45, 2);
  expect(known.report.coverage.predicted).toBeCloseTo(0.5, 1);
  expect(known.report.job).toMatchObject({ spotMm: 0.1, beam: 'pulse' });
  expect(unknown.report.job).not.toHaveProperty('spotMm');
});

test('places are told as the print shows them, though the plate is mirrored', async () => {
  // one kept line of 2 px (0.2 mm) on the left, in a cleared plate; dpi 254, pitch 0.1 mm, spot 0.1 mm
  const [w, h] = [400, 300];
  const ink = Uint8Array.from({ length: w * h }, (_, i) => {
    const [x, y] = [i % w, Math.floor(i / w)];
    return x >= 60 && x < 62 && y >= 100 && y < 200 ? 0 : 255;
  });
  const picture = join(folder, 'line.png');
  await sharp(ink, { raw: { width: w, height: h, channels: 1 } })
    .png()
    .toFile(picture);
  const { report } = await makePlate(folder, picture, { process: 'relief', ...oneToOne(w, h) }, 'line');
  const walls = report.hold!.checks.find(({ code }) => code === 'thin-walls')!;
  expect(walls.count).toBe(1);
  expect(walls.worstMm).toBeCloseTo(0.2, 6);
  const [place] = walls.places;
  expect([place!.xMm, place!.yMm, place!.widthMm, place!.heightMm].map((mm) => Math.round(mm * 10))).toEqual([
    60, 100, 2, 100,
  ]);
});

test('the standard job of 100 × 100 mm at 500 dpi, 500 mm/s, 5000 mm/s² takes 13:08 a pass', async () => {
  // kinematics: 1969 rows of w / v + 2 v / a = 0.4 s
  const black = join(folder, 'black.png');
  await sharp({ create: { width: 50, height: 50, channels: 3, background: '#000' } })
    .png()
    .toFile(black);
  const { report } = await makePlate(
    folder,
    black,
    { process: 'intaglio', widthMm: '100', heightMm: '100', hold: false },
    'solid',
  );
  expect(report.time!.perPassS).toBeCloseTo(787.6 + 1969 * (0.0252 / 500), 0);
  expect(report.hold).toBeNull();
});
