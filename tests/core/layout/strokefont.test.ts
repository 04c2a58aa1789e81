import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { textStrokes, textWidthMm } from '../../../src/core/layout/strokefont.ts';

const LETTERS = 'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz';
const SIGNS = '.,:;-–\'"()/%+=&#°×µ?!';
const DRAWN = [...LETTERS, ...'0123456789', ...SIGNS];
/** At 6 mm capitals one unit of the grid is one millimetre; the baseline lies at y 0. */
const place = { heightMm: 6, xMm: 0, yMm: 0 };
const points = (text: string, at = place) => textStrokes(text, at).flat();
const shape = (text: string) => JSON.stringify(textStrokes(text, place));
const anyText = fc.string({ unit: fc.constantFrom(...DRAWN, ' ', '~'), maxLength: 12 });
const fixed = { seed: 1, numRuns: 60 };

describe.each(DRAWN)('the glyph %s', (letter) => {
  test('lies inside its box', () => {
    const width = textWidthMm(letter, 6);
    expect(textStrokes(letter, place).length).toBeGreaterThan(0);
    for (const { xMm, yMm } of points(letter)) {
      expect(xMm).toBeGreaterThan(0);
      expect(xMm).toBeLessThan(width);
      expect(yMm).toBeGreaterThanOrEqual(-6);
      expect(yMm).toBeLessThanOrEqual(2);
    }
  });

  test('is made of strokes of two points or more, none of them standing still', () => {
    for (const stroke of textStrokes(letter, place)) {
      expect(stroke.length).toBeGreaterThan(1);
      for (let i = 1; i < stroke.length; i++) expect(stroke[i]).not.toEqual(stroke[i - 1]);
    }
  });

  test('is not the box of an unknown character', () => expect(shape(letter)).not.toBe(shape('~')));
});

test('no two characters are drawn alike', () => expect(new Set(DRAWN.map(shape)).size).toBe(DRAWN.length));

test.each([...'ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789'])('%s is as high as asked', (letter) => {
  const heights = points(letter).map(({ yMm }) => -yMm);
  expect(Math.max(...heights)).toBeCloseTo(6, 1);
  if (letter !== 'Q') expect(Math.min(...heights)).toBeCloseTo(0, 1);
});

test('small letters stand on the baseline, 4 units high; tails hang 2 below', () => {
  for (const letter of 'acemnorsuvwxz') {
    const heights = points(letter).map(({ yMm }) => -yMm);
    expect(Math.max(...heights)).toBeCloseTo(4, 1);
    expect(Math.min(...heights)).toBeCloseTo(0, 1);
  }
  for (const letter of 'gjpqyµ') expect(Math.max(...points(letter).map(({ yMm }) => yMm))).toBeCloseTo(2, 1);
});

test('digits are equally wide', () => {
  expect(new Set([...'0123456789'].map((digit) => textWidthMm(digit, 6))).size).toBe(1);
});

test('a space is air', () => {
  expect(textStrokes(' ', place)).toEqual([]);
  expect(textWidthMm(' ', 6)).toBeGreaterThan(1);
});

test('nothing is nothing', () => {
  expect(textStrokes('', place)).toEqual([]);
  expect(textWidthMm('', 6)).toBe(0);
});

test('an unknown character is one closed box, also beyond the first 65,536', () => {
  for (const unknown of ['~', '漢', '🚢']) {
    const [box, ...rest] = textStrokes(unknown, place);
    expect(rest).toEqual([]);
    expect(box).toHaveLength(5);
    expect(box![0]).toEqual(box![4]);
    expect(textWidthMm(unknown, 6)).toBe(textWidthMm('~', 6));
  }
});

test('widths add up', () => {
  fc.assert(
    fc.property(anyText, anyText, fc.double({ min: 0.5, max: 40, noNaN: true }), (a, b, heightMm) => {
      expect(textWidthMm(a + b, heightMm)).toBeCloseTo(
        textWidthMm(a, heightMm) + textWidthMm(b, heightMm),
        9,
      );
    }),
    fixed,
  );
});

test('a line is its parts, each put where the one before ends', () => {
  fc.assert(
    fc.property(anyText, anyText, (a, b) => {
      const parts = [...points(a), ...points(b, { ...place, xMm: textWidthMm(a, 6) })];
      const whole = points(a + b);
      expect(whole).toHaveLength(parts.length);
      whole.forEach((point, i) => {
        expect(point.xMm).toBeCloseTo(parts[i]!.xMm, 9);
        expect(point.yMm).toBe(parts[i]!.yMm);
      });
    }),
    fixed,
  );
});

test('place and height move and scale, and do nothing else', () => {
  const moved = points('Rq9', { heightMm: 3, xMm: 10, yMm: 20 });
  points('Rq9').forEach(({ xMm, yMm }, i) => {
    expect(moved[i]!.xMm).toBeCloseTo(10 + xMm / 2, 9);
    expect(moved[i]!.yMm).toBeCloseTo(20 + yMm / 2, 9);
  });
});

test('the same words give the same strokes', () => expect(shape('Night Ferry')).toBe(shape('Night Ferry')));
