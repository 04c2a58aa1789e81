import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { DiffusionKernel, DiffusionRun } from '../../../src/core/screens/diffusion/contract.ts';
import { type KernelName, kernels } from '../../../src/core/screens/diffusion/index.ts';
import { ostromoukhovTriples } from '../../../src/core/screens/diffusion/ostromoukhov.ts';
import type { Triple } from '../../../src/core/screens/diffusion/triples.ts';
import { zhouFangTriples } from '../../../src/core/screens/diffusion/zhou-fang.ts';
import { type Drawing, hex, screenBands, toneOfCode } from './drive.ts';
import { errorDiffusion, goldenDrawing, turnedOver } from './golden.ts';
import { hexOf, realShares, sharesByTone, slowDiffusion, wholeShares } from './slow.ts';

// The published rule is "white from code 128": in ink tone, ink above (255 − 128) · 257.
const PUBLISHED_THRESHOLD = 32639;
// Ostromoukhov's program: black up to 127.5, so ink from tone 32767.5 on.
const OSTROMOUKHOV_THRESHOLD = 32767.49;

const plain = (drawing: Drawing, scan: DiffusionRun['scan'], thresholdTone: number): DiffusionRun => ({
  widthPx: drawing.widthPx,
  thresholdTone,
  scan,
  sides: 'drop',
  noise: 0,
  seed: 1,
  plate: 0,
  firstRow: 0,
});

const inkHex = (
  kernel: DiffusionKernel,
  drawing: Drawing,
  scan: DiffusionRun['scan'],
  thresholdTone: number,
) => hex(screenBands(() => kernel.open(plain(drawing, scan, thresholdTone)), drawing));

describe('published bitmaps, computed in exact fractions', () => {
  for (const [name, bitmaps] of Object.entries(errorDiffusion.golden)) {
    const cases = Object.entries(bitmaps).map(([id, digits]) => {
      const [drawing = '', scan = ''] = id.split('_');
      return { id, digits, drawing: goldenDrawing(drawing), scan: scan as DiffusionRun['scan'] };
    });
    const published = errorDiffusion.kernels[name];
    if (published)
      test.each(cases)(`${name} $id by the obvious slow version`, ({ digits, drawing, scan }) => {
        const ink = slowDiffusion(drawing, scan, (v) => v > PUBLISHED_THRESHOLD, 1, realShares(published));
        expect(hexOf(ink)).toBe(turnedOver(digits));
      });
    if (name in kernels)
      test.each(cases)(`${name} $id, ${published?.source ?? ''}`, ({ digits, drawing, scan }) => {
        expect(inkHex(kernels[name as KernelName], drawing, scan, PUBLISHED_THRESHOLD)).toBe(
          turnedOver(digits),
        );
      });
  }

  // V. Ostromoukhov, SIGGRAPH 2001, with the rules of the author's varcoeffED.c
  test.each(Object.entries(errorDiffusion.golden['ostromoukhov2001']!))('ostromoukhov %s', (id, digits) => {
    const drawing = goldenDrawing(id.split('_')[0]!);
    expect(inkHex(kernels.ostromoukhov, drawing, 'serpentine', OSTROMOUKHOV_THRESHOLD)).toBe(
      turnedOver(digits),
    );
  });

  test('Floyd and Steinberg 1976, one row of six pixels of code 100, by hand: 0 1 0 0 1 0 in white', () => {
    const drawing = { widthPx: 6, heightPx: 1, toneAt: () => toneOfCode(100) };
    // 100, 575/4, 3285/64, 125395/1024, 2516165/16384, 14582115/262144; white from 128 on
    expect(inkHex(kernels['floyd-steinberg'], drawing, 'raster', PUBLISHED_THRESHOLD)).toBe(
      (0b10110100).toString(16),
    );
  });
});

/** Small drawings of any tones, pure paper and solids among them. */
const smallDrawing = fc
  .record({ widthPx: fc.integer({ min: 1, max: 21 }), heightPx: fc.integer({ min: 1, max: 7 }) })
  .chain(({ widthPx, heightPx }) =>
    fc
      .array(fc.oneof(fc.constantFrom(0, 65535, 1, 65534), fc.integer({ min: 0, max: 65535 })), {
        minLength: widthPx * heightPx,
        maxLength: widthPx * heightPx,
      })
      .map((tones): Drawing => ({ widthPx, heightPx, toneAt: (x, y) => tones[y * widthPx + x]! })),
  );
const anyScan = fc.constantFrom('raster' as const, 'serpentine' as const);
// off the middle, errors grow until they would mark paper: only the guard keeps it clean
const anyThreshold = fc.constantFrom(32767, 24000, 41000);

const inkAbove =
  (threshold: number) =>
  (wanted: number, tone: number): boolean =>
    tone === 65535 || (tone !== 0 && wanted > threshold);

const drawsAsSlow = (
  name: KernelName,
  unitsPerTone: number,
  shares: Parameters<typeof slowDiffusion>[4],
): void => {
  const law = fc.property(smallDrawing, anyScan, anyThreshold, (drawing, scan, threshold) => {
    const slow = slowDiffusion(drawing, scan, inkAbove(threshold), unitsPerTone, shares);
    expect(inkHex(kernels[name], drawing, scan, threshold)).toBe(hexOf(slow));
  });
  fc.assert(law, { seed: 1, numRuns: 200 });
};

describe('fast kernels draw what the obvious slow version draws', () => {
  test('floyd-steinberg', () => {
    drawsAsSlow('floyd-steinberg', 256, wholeShares(errorDiffusion.kernels['floyd-steinberg']!, Math.floor));
  });

  test.each(['jarvis-judice-ninke', 'stucki', 'burkes', 'sierra-3', 'sierra-2'] as const)('%s', (name) => {
    drawsAsSlow(name, 256, wholeShares(errorDiffusion.kernels[name]!, Math.trunc));
  });

  test.each([
    ['sierra-lite', new Array<Triple>(128).fill([2, 1, 1])],
    ['ostromoukhov', ostromoukhovTriples],
    ['zhou-fang', zhouFangTriples],
  ] as const)('%s', (name, triples) => {
    drawsAsSlow(name, 4, sharesByTone(triples));
  });
});

test('C23 rounding alone never puts a dot into paper', () => {
  // found by search: every neighbour of the paper pixel at (3, 2) hands on all but the largest error there is,
  // and what division leaves over lifts their sum 4/256 of a tone step above the threshold
  const tones = [
    [45617, 7212, 6065, 23237, 52518, 43954],
    [12828, 30701, 12035, 10433, 21594, 25537],
    [3308, 6196, 2097, 0, 0, 0],
  ];
  const drawing: Drawing = { widthPx: 6, heightPx: 3, toneAt: (x, y) => tones[y]![x]! };
  const digits = inkHex(kernels['floyd-steinberg'], drawing, 'raster', 32767);
  expect(digits.slice(4)).toBe('00');
});
