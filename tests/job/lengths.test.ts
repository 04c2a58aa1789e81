import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { parseLengthMm, parseNumber, parsePercent } from '../../src/job/lengths.ts';

describe('lengths', () => {
  test.each([
    ['120mm', 120],
    ['120', 120],
    ['12cm', 12 * 10],
    ['4.75in', 120.65],
    ['4 3/4in', 120.65],
    ['3/4 in', 19.05],
    ['0.2mm', 0.2],
    ['150um', 0.15],
    ['150µm', 0.15],
    ['150μm', 0.15],
    ['12,5 cm', 125],

    ['1in', 25.4],
  ])('%s is %f mm', (text, mm) => {
    expect(parseLengthMm(text)).toBe(mm);
  });

  test.each([
    '',
    'abc',
    '12q',
    '-5mm',
    '+5mm',
    '1e3',
    '0x12',
    '1.2.3',
    '1,000.5',
    '12 in ch',
    '4 3/0in',
    'mm',
    '½in',
    'NaN',
    'Infinity',
    '5 mm 3',
  ])('"%s" is no length', (text) => {
    expect(parseLengthMm(text)).toBeNull();
  });

  test('every unit gives the same length back', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 10_000_000 }), (um) => {
        expect(parseLengthMm(`${um}um`)).toBeCloseTo(um / 1000, 9);
        expect(parseLengthMm(`${um / 1000}mm`)).toBeCloseTo(um / 1000, 9);
        expect(parseLengthMm(`${um / 10000}cm`)).toBeCloseTo(um / 1000, 9);
      }),
      { seed: 1 },
    );
  });
});

test('C37 numbers are digits with one decimal mark, and nothing else is', () => {
  // parseInt as an option parser takes "100x" for 100 and the default for a radix (tj/commander.js #834)
  expect(['100', '300.5', '0,5', '007'].map(parseNumber)).toEqual([100, 300.5, 0.5, 7]);
  for (const text of [
    '100x',
    'abc',
    'NaN',
    'Infinity',
    '1e3',
    '0x12C',
    '-300',
    '+3',
    '',
    ' 300 ',
    '1.',
    '.5',
    '1 000',
    '1_000',
  ])
    expect(parseNumber(text)).toBeNull();
});

test('percentages go with or without the sign', () => {
  expect(['80', '80%', '80 %', '12,5%'].map(parsePercent)).toEqual([80, 80, 80, 12.5]);
  expect(['%', '80%%', '-5%', 'x%'].map(parsePercent)).toEqual([null, null, null, null]);
});
