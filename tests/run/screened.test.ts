/** C21: a picture that is screened already passes at its own size bit for bit; at any other it is told, and its dots can go. */
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { PNG } from 'pngjs';
import { afterAll, describe, expect, test } from 'vitest';
import { makePlate, oneToOne } from './make.ts';
import { corpus, greyPng, save } from './pictures.ts';

const folder = mkdtempSync(join(tmpdir(), 'etchwright-screened-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const picture = corpus('good/gen-halftoned.png');
const codes = (report: { cautions: readonly { code: string }[] }): string[] =>
  report.cautions.map(({ code }) => code);

describe.each([
  ['relief', {}],
  ['intaglio', {}],
  ['intaglio', { spotMm: '0.1mm', capPercent: '100' }],
] as const)('%s, %o', (process, further) => {
  test('at its own size every pixel is the picture’s', async () => {
    const { report, png } = await makePlate(
      folder,
      picture,
      { process, facing: 'print', ...oneToOne(400, 400), ...further },
      `${process}-${Object.keys(further).length}`,
    );
    const source = PNG.sync.read(readFileSync(picture));
    const made = PNG.sync.read(png);
    // relief fires on what the picture has white
    const turned = process === 'relief' ? 255 : 0;
    let wrong = 0;
    for (let i = 0; i < source.data.length; i += 4) if ((made.data[i]! ^ turned) !== source.data[i]) wrong++;
    expect(wrong).toBe(0);
    expect(report.screen).toMatchObject({
      kind: 'threshold',
      why: expect.stringMatching(/screened already/),
    });
    expect(codes(report)).toContain('screened-passes');
  });
});

test('at another size it is told with ruling and angle, and --descreen auto takes the dots out', async () => {
  const job = { process: 'intaglio', dpi: '500', widthMm: '30mm' };
  const left = await makePlate(folder, picture, job, 'left');
  const told = left.report.cautions.find(({ code }) => code === 'screened-picture');
  // 400 px on 30 mm; pitch 5.3 px at 45° by the picture's makers
  expect(told!.value!).toBeCloseTo((400 / 30) * (25.4 / 5.3), 0);
  expect(told!.text).toMatch(/at 45°/);
  const taken = await makePlate(folder, picture, { ...job, descreen: 'auto' }, 'taken');
  expect(codes(taken.report)).toContain('descreened');
  expect(codes(taken.report)).not.toContain('screened-picture');
  expect(taken.report.bitsSha256).not.toBe(left.report.bitsSha256);
  expect(Math.abs(taken.report.coverage.etched - left.report.coverage.etched)).toBeLessThan(0.005);
});

test('the job of a report makes the same plate without the sheet that it was made for', async () => {
  const tone = join(import.meta.dirname, '../../examples/sound-tone.png');
  for (const screen of ['dot', 'grain'] as const) {
    const job = {
      ...{ process: 'intaglio', screen, widthMm: '10mm', dpi: '508', spotMm: '0.06mm' },
      ...{ material: 'copper', materialConfirmed: 'A. Person, today' },
    };
    const first = await makePlate(folder, tone, job, `${screen}-first`);
    const again = await makePlate(folder, tone, first.report.job, `${screen}-again`);
    expect(again.report.bitsSha256).toBe(first.report.bitsSha256);
    const acrylic = await makePlate(folder, tone, { ...job, material: 'acrylic' }, `${screen}-acrylic`);
    expect(acrylic.report.bitsSha256).not.toBe(first.report.bitsSha256);
  }
});

/** A slope in error diffusion (Floyd & Steinberg 1976): two tones, and no lattice. */
function dithered(side: number): Buffer {
  const wanted = Array.from({ length: side }, () =>
    Float64Array.from({ length: side }, (_, x) => 30 + (190 * x) / side),
  );
  return greyPng(side, side, (x, y) => {
    const code = wanted[y]![x]! < 128 ? 0 : 255;
    const error = wanted[y]![x]! - code;
    for (const [dx, dy, share] of [
      [1, 0, 7],
      [-1, 1, 3],
      [0, 1, 5],
      [1, 1, 1],
    ] as const) {
      const row = wanted[y + dy];
      if (row && x + dx >= 0 && x + dx < side) row[x + dx] = row[x + dx]! + (error * share) / 16;
    }
    return code;
  });
}

test('a dither passes at its own size; at another the spot is allowed for as ever', async () => {
  const dither = save(folder, 'dither.png', dithered(400));
  const known = { process: 'intaglio', spotMm: '0.1mm' };
  const same = await makePlate(folder, dither, { ...known, ...oneToOne(400, 400) }, 'dither-same');
  expect(same.report.screen.kind).toBe('threshold');
  expect(codes(same.report)).toContain('screened-passes');
  const larger = await makePlate(folder, dither, { ...known, dpi: '500', widthMm: '30mm' }, 'dither-larger');
  expect(larger.report.screen.kind).toBe('cell');
  expect(larger.report.job).toMatchObject({ compensate: true });
  expect(codes(larger.report)).toContain('screened-picture');
});

test('a screen named at another size does not let dots pass as they are', async () => {
  const job = { process: 'relief', screen: 'threshold', dpi: '500', widthMm: '30mm' };
  const { report } = await makePlate(folder, picture, job, 'named');
  expect(codes(report)).toContain('screened-picture');
  expect(codes(report)).not.toContain('screened-passes');
});

test('whoever asks for the dots to go gets that at their own size, too', async () => {
  const job = { process: 'intaglio', descreen: 'auto', ...oneToOne(400, 400) };
  const { report } = await makePlate(folder, picture, job, 'gone');
  expect(report.screen.kind).toBe('cell');
  expect(codes(report)).toContain('descreened');
});
