import { expect, test } from 'vitest';
import { getBit } from '../../../src/core/bitmap.ts';
import { noiseRow } from '../../../src/core/screens/diffusion/noise.ts';
import {
  zhouFang,
  zhouFangStrengths,
  zhouFangTriples,
} from '../../../src/core/screens/diffusion/zhou-fang.ts';
import { flat, screenBands } from './drive.ts';
import { zhouFangData } from './golden.ts';

// B. Zhou and X. Fang, ACM TOG 22(3), 2003; full table of the authors' program.
test('weights between the key levels are those of the authors’ full table', () => {
  expect(zhouFangTriples).toHaveLength(128);
  zhouFangData.triples.forEach((triple, level) => {
    const sum = triple[0] + triple[1] + triple[2];
    // the authors rounded to about six digits
    for (const i of [0, 1, 2] as const)
      expect(Math.abs(zhouFangTriples[level]![i] - triple[i] / sum), `level ${level}`).toBeLessThan(4e-6);
  });
});

test('strengths of the noise are those of the authors’ table, which rounds down', () => {
  expect(zhouFangStrengths.map((percent) => Math.floor(percent + 1e-9))).toEqual(
    zhouFangData.strengthPercent,
  );
});

const run = {
  widthPx: 128,
  thresholdTone: 32767,
  scan: 'serpentine',
  sides: 'keep',
  seed: 1,
  plate: 0,
  firstRow: -64,
} as const;

test('noise is even about 0 and depends on seed, plate and row', () => {
  const row = (seed: number, plate: number, y: number): number[] => {
    const noise = new Int16Array(4096);
    noiseRow(noise, { ...run, seed, plate, noise: 1 }, y);
    return [...noise];
  };
  const noise = row(1, 0, 5);
  expect(Math.max(...noise)).toBe(255);
  expect(Math.min(...noise)).toBe(-255);
  // 4,096 even numbers of −255 … 255: standard error of their mean 2.3
  expect(Math.abs(noise.reduce((a, b) => a + b) / 4096)).toBeLessThan(7);
  for (const other of [row(2, 0, 5), row(1, 1, 5), row(1, 0, 6)]) {
    const together = noise.reduce((sum, n, i) => sum + n * other[i]!, 0) / 4096;
    // correlation within four standard errors of none
    expect(Math.abs(together) / ((255 * 255) / 3)).toBeLessThan(4 / 64);
  }
});

test('in the middle tone the noise breaks the chequerboard that error diffusion falls into', () => {
  const alike = (noise: number): number => {
    const map = screenBands(() => zhouFang.open({ ...run, noise }), flat(32700, 128), { leadInRows: 64 });
    let pairs = 0;
    for (let y = 0; y < 128; y++)
      for (let x = 1; x < 128; x++) if (getBit(map, x, y) === getBit(map, x - 1, y)) pairs++;
    return pairs / (128 * 127);
  };
  expect(alike(0)).toBeLessThan(0.06);
  expect(alike(1)).toBeGreaterThan(0.12);
});
