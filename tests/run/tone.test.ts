/** How much is etched, counted on the written plate by another reader. Tone asked for: 1 − code/255. */
import { readFileSync } from 'node:fs';
import { PNG } from 'pngjs';
import { describe, expect, test } from 'vitest';
import { freshPlace } from '../cli/run-cli.ts';
import { shareOfBlack } from './judges.ts';
import { makePlate, oneToOne } from './make.ts';
import { corpus, greyPng, save } from './pictures.ts';

const place = freshPlace();
const SIDE = 128;
const plain = { process: 'intaglio', capPercent: 100, facing: 'print' };

const flat = (code: number) =>
  save(
    place.path,
    `flat-${code}.png`,
    greyPng(SIDE, SIDE, () => code),
  );

describe.each(['floyd-steinberg', 'ostromoukhov'])('%s', (kernel) => {
  test('check 6: codes from 8 to 247 keep their mean within 0.6 points, 128 × 128 px', async () => {
    // Ulichney 1987: error diffusion hands all of the error on, so what is lost is lost at the edges only
    const settings = { ...plain, ...oneToOne(SIDE, SIDE), screen: 'errordiffusion', kernel };
    const wrong: string[] = [];
    for (let code = 8; code < 248; code += kernel === 'floyd-steinberg' ? 2 : 8) {
      const { report, plate } = await makePlate(place.path, flat(code), settings, `${kernel}-${code}`);
      const off = shareOfBlack(plate) - (1 - code / 255);
      if (Math.abs(off) > 0.006) wrong.push(`code ${code}: ${(100 * off).toFixed(2)} points off`);
      expect(report.coverage.etched).toBeCloseTo(shareOfBlack(plate), 8);
    }
    expect(wrong).toEqual([]);
  });
});

/** The codes of the 21 steps of the corpus file, whose own steps are 20 px wide. */
const codes = (() => {
  const { data } = PNG.sync.read(readFileSync(corpus('good/gen-wedge21.png')));
  return Array.from({ length: 21 }, (_, step) => data[4 * (20 * step + 10)]!);
})();

describe('C25 a wedge of 21 steps of 128 × 128 px at its own size, no curve, cap 100', () => {
  const width = codes.length * SIDE;

  test.each([
    ['errordiffusion', { kernel: 'floyd-steinberg' }, 0.003],
    ['errordiffusion', { kernel: 'ostromoukhov' }, 0.003],
    ['bayer', { matrix: 2 }, 0.5 / 4],
    ['bayer', { matrix: 4 }, 0.5 / 16],
    ['bayer', { matrix: 8 }, 0.5 / 64],
    ['bayer', { matrix: 16 }, 0.5 / 256],
  ])('%s %o within %d', async (screen, own, within) => {
    const wedge = greyPng(width, SIDE, (x) => codes[Math.floor(x / SIDE)]!);
    const settings = { ...plain, ...oneToOne(width, SIDE), screen, ...own };
    const { plate } = await makePlate(place.path, save(place.path, 'wedge.png', wedge), settings);
    const shares = codes.map((_, step) => shareOfBlack(plate, step * SIDE, 0, SIDE, SIDE));
    for (const [step, share] of shares.entries())
      expect(Math.abs(share - (1 - codes[step]! / 255)), `step ${step}`).toBeLessThanOrEqual(within + 1e-9);
    // lighter from step to step, as the wedge is
    expect(shares).toEqual([...shares].sort((a, b) => b - a));
    expect([shares[0], shares[20]]).toEqual([1, 0]);
  });

  test('the corpus file runs from black to white', () => {
    expect([codes[0], codes[10], codes[20]]).toEqual([0, 128, 255]);
  });
});

test.each([127, 128])('C23 code %d is even from the first row and column on', async (code) => {
  const settings = { ...plain, ...oneToOne(SIDE, SIDE), screen: 'errordiffusion' };
  const { plate } = await makePlate(place.path, flat(code), settings);
  for (const [x, y] of [
    [0, 0],
    [64, 0],
    [0, 64],
    [64, 64],
  ] as const)
    expect(Math.abs(shareOfBlack(plate, x, y, 64, 64) - (1 - code / 255))).toBeLessThan(0.006);
});

test('C23 code 254 has stray dots, but few: 0.1 to 0.8 % of 512 × 512 px', async () => {
  const settings = { ...plain, ...oneToOne(512, 512), screen: 'errordiffusion' };
  const share = shareOfBlack((await makePlate(place.path, corpus('good/gen-flat-254.png'), settings)).plate);
  expect(share).toBeGreaterThan(0.001);
  expect(share).toBeLessThan(0.008);
});

test('C11 transparent is paper, whatever lies under it', async () => {
  const settings = { ...plain, ...oneToOne(30, 20, 50), screen: 'threshold' };
  const { report } = await makePlate(place.path, corpus('good/gen-alpha-hidden-black.png'), settings);
  expect(report.coverage.etched).toBeCloseTo(1 / 3, 2);
});
