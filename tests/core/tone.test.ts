import { expect, test } from 'vitest';
import { toneTable } from '../../src/core/tone.ts';

const EIGHT = { depthBits: 8, blackCode: 0, whiteCode: 255 } as const;
const SIXTEEN = { depthBits: 16, blackCode: 0, whiteCode: 65535 } as const;
const plain = { source: 'positive', whitepoint: 1, blackpoint: 0, gamma: 1, cap: 1, floor: 0 } as const;

test('tone is 1 − code/255: white 0, black full, 128 asks for 49.8 %', () => {
  const table = toneTable(EIGHT, plain);
  expect([table[255], table[0]]).toEqual([0, 65535]);
  expect(table[128]! / 65535).toBeCloseTo(0.498, 3);
  const deep = toneTable(SIXTEEN, plain);
  expect([deep[65535], deep[0], deep[257 * 128]]).toEqual([0, 65535, table[128]]);
});

test('a cap of 80 % is white laid over the picture at 20 %: 0, 64, 128, 192, 255 → 51, 102.2, 153.4, 204.6, 255', () => {
  // source-over of white (Porter & Duff, SIGGRAPH 1984), worked in code values
  const table = toneTable(EIGHT, { ...plain, cap: 0.8 });
  const codes = [0, 64, 128, 192, 255].map((code) => 255 * (1 - table[code]! / 65535));
  [51, 102.2, 153.4, 204.6, 255].forEach((want, i) => {
    expect(codes[i]).toBeCloseTo(want, 2);
  });
});

test('a floor lifts every tone but bare paper', () => {
  const table = toneTable(EIGHT, { ...plain, floor: 0.1, cap: 0.9 });
  expect(table[255]).toBe(0);
  expect(table[254]! / 65535).toBeCloseTo(0.1 + 0.8 / 255, 4);
  expect(table[0]! / 65535).toBeCloseTo(0.9, 4);
});

test('white and black point spread the range between them', () => {
  const table = toneTable(EIGHT, { ...plain, whitepoint: 0.8, blackpoint: 0.2 });
  expect([table[204], table[255], table[51], table[0]]).toEqual([0, 0, 65535, 65535]);
  expect(table[255 * 0.5 + 0.5]! / 65535).toBeCloseTo(0.4967, 3);
});

test('gamma above 1 lightens the middle tones and leaves the ends', () => {
  const table = toneTable(EIGHT, { ...plain, gamma: 2 });
  expect([table[255], table[0]]).toEqual([0, 65535]);
  // lightness 64/255 becomes its square root
  expect(table[64]! / 65535).toBeCloseTo(1 - Math.sqrt(64 / 255), 4);
});

test('a negative is turned over before anything else', () => {
  const table = toneTable(EIGHT, { ...plain, source: 'negative' });
  expect([table[0], table[255]]).toEqual([0, 65535]);
});

test('tables fall from black to white without a step back', () => {
  for (const settings of [
    plain,
    { ...plain, gamma: 1.8, cap: 0.7, floor: 0.05, whitepoint: 0.9, blackpoint: 0.1 },
  ]) {
    const table = toneTable(SIXTEEN, settings);
    for (let i = 1; i < table.length; i++) if (table[i]! > table[i - 1]!) throw new Error(`rises at ${i}`);
  }
});

test('a source whose full ink is not code 0 still reaches full tone, and its paper bare paper', () => {
  const table = toneTable({ depthBits: 8, blackCode: 44, whiteCode: 250 }, plain);
  expect([table[44], table[0], table[250], table[255]]).toEqual([65535, 65535, 0, 0]);
  expect(table[147]! / 65535).toBeCloseTo(0.5, 4);
});
