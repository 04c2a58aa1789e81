import { expect, test } from 'vitest';
import type { ToneSettings } from '../../src/core/tone.ts';
import { toneCurves } from '../../src/run/plate/tone-curves.ts';

const tone: ToneSettings = { source: 'positive', whitepoint: 1, blackpoint: 0, gamma: 1, cap: 1, floor: 0 };
const codes = { depthBits: 8, blackCode: 0, whiteCode: 255 } as const;
const NOTHING = { spot: null, measured: null, arrives: false };
const etching = (etches: 'ink' | 'paper') => ({ etches }) as Parameters<typeof toneCurves>[1]['finish'];
const same = Uint16Array.from({ length: 65536 }, (_, i) => i);

test('asked for as it is: a straight line, to the steps of 8 bits', () => {
  const { asked, predicted } = toneCurves(codes, { tone, finish: etching('ink') }, NOTHING);
  expect(predicted).toBeUndefined();
  expect(asked).toHaveLength(33);
  for (const [picture, got] of asked!) expect(Math.abs(got - picture)).toBeLessThan(0.5 / 255 + 1e-4);
});

// floor + (cap − floor) · (1 − lightness^(1/γ)), worked out by hand: 1 − 0.5^(1/2) = 0.2929
test('cap, floor and gamma bend it; bare paper stays bare', () => {
  const bent = { ...tone, gamma: 2, cap: 0.8, floor: 0.1 };
  const { asked } = toneCurves(codes, { tone: bent, finish: etching('ink') }, NOTHING);
  expect(asked![0]).toEqual([0, 0]);
  expect(asked!.at(-1)![1]).toBeCloseTo(0.8, 4);
  expect(Math.abs(asked![16]![1] - (0.1 + 0.7 * 0.2929))).toBeLessThan(0.003);
});

test('16-bit codes, and codes with black above white, are read likewise', () => {
  for (const turned of [
    { depthBits: 16, blackCode: 0, whiteCode: 65535 },
    { depthBits: 8, blackCode: 255, whiteCode: 0 },
  ] as const) {
    const { asked } = toneCurves(turned, { tone, finish: etching('ink') }, NOTHING);
    for (const [picture, got] of asked!) expect(Math.abs(got - picture)).toBeLessThan(0.003);
  }
});

// a beam that etches half as much again up to solid: 0.4 of the file is 0.6 of the plate
const knots = [
  [0, 0],
  [0.4, 0.6],
  [1, 1],
] as const;

test('predicted on an intaglio plate: what is etched is ink', () => {
  const curve = { ...NOTHING, spot: { knots, table: same } };
  const { predicted } = toneCurves(codes, { tone, finish: etching('ink') }, curve);
  for (const [picture, got] of predicted!) {
    const wanted = picture <= 0.4 ? 1.5 * picture : 0.6 + ((picture - 0.4) / 0.6) * 0.4;
    expect(Math.abs(got - wanted)).toBeLessThan(0.005);
  }
});

test('predicted on a block: what is etched is paper', () => {
  const curve = { ...NOTHING, spot: { knots, table: same } };
  const { predicted } = toneCurves(codes, { tone, finish: etching('paper') }, curve);
  for (const [picture, got] of predicted!) {
    const etched = 1 - picture;
    const wanted = 1 - (etched <= 0.4 ? 1.5 * etched : 0.6 + ((etched - 0.4) / 0.6) * 0.4);
    expect(Math.abs(got - wanted)).toBeLessThan(0.005);
  }
});

test('a table that allows for the beam brings the prediction back to what was asked', () => {
  const undo = (share: number): number => (share <= 0.6 ? share / 1.5 : 0.4 + ((share - 0.6) / 0.4) * 0.6);
  const table = Uint16Array.from({ length: 65536 }, (_, i) => Math.round(65535 * undo(i / 65535)));
  const { asked, predicted } = toneCurves(
    codes,
    { tone, finish: etching('ink') },
    { ...NOTHING, spot: { knots, table } },
  );
  for (const [i, [, got]] of predicted!.entries()) expect(got).toBeCloseTo(asked![i]![1], 4);
});

test('a screen that books the spot itself etches what is asked', () => {
  const { asked, predicted } = toneCurves(
    codes,
    { tone, finish: etching('ink') },
    { ...NOTHING, arrives: true },
  );
  expect(predicted).toEqual(asked);
});

test('through a measured curve prints what is asked, as far as the proof reached', () => {
  // a print that ends at 0.8, and is half dark already at 0.3 of the file
  const measured = [
    [0, 0],
    [0.3, 0.5],
    [1, 0.8],
  ] as const;
  const { measured: dots } = toneCurves(codes, { tone, finish: etching('ink') }, { ...NOTHING, measured });
  expect(dots).toHaveLength(9);
  for (const [picture, got] of dots!) expect(Math.abs(got - Math.min(picture, 0.8))).toBeLessThan(0.005);
});
