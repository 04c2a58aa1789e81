import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import sharp from 'sharp';
import { expect, test } from 'vitest';
import { openFft2d } from '../../../src/core/fft.ts';
import { boxDown } from '../../../src/core/picture/box.ts';
import { openDescreen } from '../../../src/core/picture/descreen.ts';
import { openResampler, TONE_CENTRE, type ToneSource } from '../../../src/core/resample/index.ts';
import { dots, made, noisy, shaded, sourceOf } from './made.ts';

/** All rows, as ink tone. */
function read(source: ToneSource): Float64Array {
  const row = new Int16Array(source.widthPx);
  const all = new Float64Array(source.widthPx * source.heightPx);
  for (let y = 0; y < source.heightPx; y++) {
    source.readRow(y, row, 0);
    for (let x = 0; x < row.length; x++) all[y * row.length + x] = row[x]! + TONE_CENTRE;
  }
  return all;
}

const meanOf = (tones: Float64Array): number => tones.reduce((a, b) => a + b, 0) / tones.length;

/** Amplitude of a wave of (fx, fy) cycles a pixel in the middle of a square picture, by the sum of the definition. */
function amplitude(tones: Float64Array, side: number, fx: number, fy: number): number {
  const margin = side >> 2;
  let [re, im, weights] = [0, 0, 0];
  for (let y = margin; y < side - margin; y++)
    for (let x = margin; x < side - margin; x++) {
      const hann = (k: number): number =>
        0.5 - 0.5 * Math.cos((2 * Math.PI * (k - margin + 0.5)) / (side - 2 * margin));
      const weight = hann(x) * hann(y);
      const turn = 2 * Math.PI * (fx * x + fy * y);
      re += weight * tones[y * side + x]! * Math.cos(turn);
      im += weight * tones[y * side + x]! * Math.sin(turn);
      weights += weight;
    }
  return (2 * Math.hypot(re, im)) / weights;
}

test('less than 2 % of the waves of a screen is left, at any angle', () => {
  for (const periodPx of [3, 5.3, 12])
    for (const angleDeg of [0, 22.5, 45]) {
      const angle = (angleDeg * Math.PI) / 180;
      const [fx, fy] = [Math.cos(angle) / periodPx, -Math.sin(angle) / periodPx];
      const side = 128;
      const wave = (x: number, y: number): number => 0.5 + 0.2 * Math.sin(2 * Math.PI * (fx * x + fy * y));
      const turned = (x: number, y: number): number => 0.5 + 0.2 * Math.sin(2 * Math.PI * (-fy * x + fx * y));
      for (const [inkAt, u, v] of [
        [wave, fx, fy],
        [turned, -fy, fx],
      ] as const) {
        const left = amplitude(
          read(openDescreen(sourceOf(made(side, side, inkAt)), 1 / periodPx)),
          side,
          u,
          v,
        );
        expect(left / (0.2 * 65535)).toBeLessThan(0.02);
      }
    }
});

test('waves of four periods keep 80 % of their contrast, as promised', () => {
  const [side, f] = [192, 1 / 24];
  const source = sourceOf(made(side, side, (x) => 0.5 + 0.4 * Math.sin(2 * Math.PI * f * x)));
  expect(amplitude(read(openDescreen(source, 1 / 6)), side, f, 0) / (0.4 * 65535)).toBeCloseTo(0.8, 1);
});

test('the mean stays within 0.05 %, and what is flat stays exactly as it is', () => {
  fc.assert(
    fc.property(
      fc.integer({ min: 1, max: 60 }),
      fc.integer({ min: 1, max: 60 }),
      fc.double({ min: 2, max: 21, noNaN: true }),
      fc.integer({ min: 0, max: 255 }),
      (widthPx, heightPx, periodPx, level) => {
        const flat = sourceOf(made(widthPx, heightPx, () => level / 255));
        expect(read(openDescreen(flat, 1 / periodPx))).toEqual(read(flat));
        const noise = sourceOf(
          noisy(
            made(widthPx, heightPx, () => 0.5),
            0.25,
          ),
        );
        const after = meanOf(read(openDescreen(noise, 1 / periodPx)));
        expect(Math.abs(after - meanOf(read(noise)))).toBeLessThan(0.0005 * 65535);
      },
    ),
    { seed: 1, numRuns: 40 },
  );
});

test('white far from ink stays exactly white', () => {
  const after = read(openDescreen(sourceOf(made(64, 64, (x) => (x < 20 ? 1 : 0))), 1 / 5));
  for (let y = 0; y < 64; y++) for (let x = 28; x < 64; x++) expect(after[y * 64 + x]).toBe(0);
});

test('a box equals the plain mean under it, over a picture mirrored at its edges', () => {
  const [widthPx, heightPx] = [3, 7];
  const picture = noisy(
    made(widthPx, heightPx, () => 0.5),
    0.3,
  );
  const tones = read(sourceOf(picture));
  const rowAt = (y: number): number => (y < 0 ? -1 - y : y >= heightPx ? 2 * heightPx - 1 - y : y);
  const boxed = read(boxDown(sourceOf(picture), 4));
  for (let y = 0; y < heightPx; y++)
    for (let x = 0; x < widthPx; x++) {
      const at = (k: number): number => tones[rowAt(y + k) * widthPx + x]!;
      const mean = (at(-1) + at(0) + at(1) + 0.5 * (at(-2) + at(2))) / 4;
      expect(Math.abs(boxed[y * widthPx + x]! - mean)).toBeLessThanOrEqual(0.5);
    }
});

test('rows are the same in whatever order they are asked for', () => {
  const picture = sourceOf(dots(48, { periodPx: 5, angleDeg: 15 }, shaded));
  const inOrder = read(openDescreen(picture, 1 / 5));
  const jumping = openDescreen(picture, 1 / 5);
  const row = new Int16Array(48);
  for (const y of [40, 41, 0, 47, 20, 20, 21, 22, 3]) {
    jumping.readRow(y, row, 0);
    for (let x = 0; x < 48; x++) expect(row[x]! + TONE_CENTRE).toBe(inOrder[y * 48 + x]);
  }
});

/** Largest amplitude among waves at least `periodPx` long, the constant apart, over the mean. */
function coarsest(tones: Float64Array, side: number, periodPx: number): number {
  const size = 128;
  const margin = (side - size) >> 1;
  const [re, im] = [new Float64Array(size * size), new Float64Array(size * size)];
  const mean = meanOf(tones);
  for (let y = 0; y < size; y++)
    for (let x = 0; x < size; x++) {
      const hann = (k: number): number => 1 - Math.cos((2 * Math.PI * (k + 0.5)) / size);
      re[y * size + x] = (tones[(y + margin) * side + x + margin]! - mean) * hann(x) * hann(y);
    }
  openFft2d(size)(re, im);
  let most = 0;
  for (let v = -size / 2; v < size / 2; v++)
    for (let u = -size / 2; u < size / 2; u++) {
      const radius = Math.hypot(u, v);
      if (radius > size / periodPx || radius < 1) continue;
      const k = ((v + size) % size) * size + ((u + size) % size);
      most = Math.max(most, (2 * Math.hypot(re[k]!, im[k]!)) / (size * size));
    }
  return most / mean;
}

test('gen-halftoned.png, descreened and reduced by 0.37, has no coarse beat above 5 % of its mean', async () => {
  const path = new URL('../../../fixtures/corpus/good/gen-halftoned.png', import.meta.url);
  const { data, info } = await sharp(readFileSync(path))
    .greyscale()
    .raw()
    .toBuffer({ resolveWithObject: true });
  const source = sourceOf(made(400, 400, (x, y) => 1 - data[(y * 400 + x) * info.channels]! / 255));
  const side = 148;
  const axis = { sourcePx: 400, outPx: side, startPx: 0, stepPx: 1 / 0.37 };
  const resampled = (from: ToneSource): Float64Array => {
    const row = openResampler(from, axis, axis);
    const tone = new Uint16Array(side);
    const all = new Float64Array(side * side);
    for (let y = 0; y < side; y++) {
      row(y, tone);
      all.set(tone, y * side);
    }
    return all;
  };
  const threePeriods = 3 * 5.3 * 0.37;
  const after = coarsest(resampled(openDescreen(source, 1 / 5.3)), side, threePeriods);
  expect(after).toBeLessThan(0.05);
  // reducing alone keeps to 5 % as well (4.3 %), so what descreening adds is held to too
  expect(after).toBeLessThan(coarsest(resampled(source), side, threePeriods) / 2);
  // the measure sees a beat where there is one: every third pixel taken, without a filter
  const bare = read(source);
  const taken = Float64Array.from(
    { length: 133 * 133 },
    (_, i) => bare[Math.floor(i / 133) * 3 * 400 + (i % 133) * 3]!,
  );
  expect(coarsest(taken, 133, 3 * (5.3 / 3))).toBeGreaterThan(0.05);
});
