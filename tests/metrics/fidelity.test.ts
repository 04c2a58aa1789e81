import { describe, expect, test } from 'vitest';
import { mannosSakrison, mannosSakrisonLowPass, nasanen, pxPerDegree } from './eye.mjs';
import { edgeFigure, hpsnr } from './fidelity.mjs';

const SIDE = 64;
const map = (toneAt: (x: number, y: number) => number): Float32Array =>
  Float32Array.from({ length: SIDE * SIDE }, (_, i) => toneAt(i % SIDE, Math.floor(i / SIDE)));
const grey = (tone: number): Float32Array => map(() => tone);
const checkerboard = map((x, y) => (x + y) & 1);
const lines = map((_, y) => y & 1);
const INCH = 25.4;

describe('signal to noise after the eye', () => {
  // the error is one cosine, so the figure is 6.0206 − 20 log10 of the eye's share at its frequency: worked out on paper
  test.each([
    ['checkerboard', 300, 10, checkerboard, 27.51400481557385],
    ['lines of one pixel', 300, 10, lines, 17.087010723091183],
    ['checkerboard', 500, 12, checkerboard, 69.93119369443548],
    ['lines of one pixel', 500, 12, lines, 44.16475230122938],
  ])('%s against mid grey at %d dpi and %d inches', (_, dpi, inches, pattern, db) => {
    expect(hpsnr(grey(0.5), pattern, mannosSakrison, pxPerDegree(dpi, inches * INCH))).toBeCloseTo(db, 6);
  });

  test('an eye that sees all gives the plain figure of any halftone of mid grey', () => {
    expect(hpsnr(grey(0.5), checkerboard, () => 1, 1)).toBeCloseTo(6.020599913279624, 9);
  });

  // ordered dither of constant tones with the matrix of Bayer 1973 at 500 dpi and 12 inches, low-passed curve; computed with NumPy
  test.each([
    [1 / 4, 2, 47.16930020933102],
    [1 / 16, 4, 28.745996659569244],
  ])('one pixel in %d of all, every %d pixels', (tone, pitch, db) => {
    const dots = map((x, y) => (x % pitch === 0 && y % pitch === 0 ? 1 : 0));
    const perDegree = pxPerDegree(500, 12 * INCH);
    expect(hpsnr(grey(tone), dots, mannosSakrisonLowPass, perDegree)).toBeCloseTo(db, 6);
  });

  test('a tone that is off all over counts in full', () => {
    expect(hpsnr(grey(0.5), grey(0.6), nasanen(100), 103)).toBeCloseTo(20, 5);
  });
});

describe('edges', () => {
  const disc = map((x, y) => (Math.hypot(x - 31.5, y - 31.5) < 16 ? 0.8 : 0.2));

  test('are the same in the same picture, also at half its contrast', () => {
    expect(edgeFigure(disc, disc, SIDE)).toBeCloseTo(1, 12);
    const faint = disc.map((tone) => 0.3 + tone / 2);
    expect(edgeFigure(disc, faint, SIDE)).toBeCloseTo(1, 5);
  });

  test('are the opposite in the negative', () => {
    const negative = disc.map((tone) => 1 - tone);
    expect(edgeFigure(disc, negative, SIDE)).toBeCloseTo(-1, 5);
  });

  test('get less where they are moved and are lost where they cross', () => {
    const moved = map((x, y) => disc[y * SIDE + Math.max(0, x - 2)]!);
    const level = map((_, y) => y / SIDE);
    const upright = map((x) => x / SIDE);
    expect(edgeFigure(disc, moved, SIDE)).toBeLessThan(0.95);
    expect(Math.abs(edgeFigure(level, upright, SIDE))).toBeLessThan(1e-6);
  });

  test('cannot be told where there are none', () => {
    expect(edgeFigure(grey(0.5), checkerboard, SIDE)).toBeNaN();
  });
});
