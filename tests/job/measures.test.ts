import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { jobJsonSchema } from '../../src/job/json-schema.ts';
import { formsOf, parseMeasure, parseNumber } from '../../src/job/measures.ts';
import { settingByKey } from '../../src/job/settings.ts';
import { parseValue } from '../../src/job/values.ts';

const parseLengthMm = (text: string) => parseMeasure('mm', text);
const parsePercent = (text: string) => parseMeasure('percent', text);

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

describe('a unit spelt out', () => {
  test.each([
    ['rulingLpi', '40', 40],
    ['rulingLpi', '40lpi', 40],
    ['rulingLpi', '40 lpi', 40],
    ['rulingLpi', '40 LPI', 40],
    // an inch is 2.54 cm exactly (ISO 31-1)
    ['rulingLpi', '16/cm', 40.64],
    ['rulingLpi', '1,6 /mm', 40.64],
    ['angleDeg', '45deg', 45],
    ['angleDeg', '45°', 45],
    ['angleDeg', '22,5 degrees', 22.5],
    ['rotateDeg', '90', 90],
    ['rotateDeg', '90°', 90],
    ['dpi', '500dpi', 500],
    ['dpi', '200/cm', 508],
    ['descreen', '133lpi', 133],
    ['descreen', '54 /cm', 137.16],
    ['descreen', 'auto', 'auto'],
    ['slotMinutes', '1.5h', 90],
    ['slotMinutes', '45 min', 45],
    ['capPercent', '80 %', 80],
  ])('%s %s is %s, on the command line and in a job file', (key, text, value) => {
    expect(parseValue(settingByKey.get(key)!, text, 'here')).toEqual({ value });
  });

  test.each([
    ['rulingLpi', '40dpi'],
    ['rulingLpi', '40 l p i'],
    ['rulingLpi', '40mm'],
    ['rulingLpi', '1/2 /cm'],
    ['rulingLpi', 'lpi'],
    ['rulingLpi', '40lpilpi'],
    ['rulingLpi', '40toString'],
    ['rulingLpi', '40__proto__'],
    ['angleDeg', '45%'],
    ['rotateDeg', '45°'],
    ['dpi', '500lpi'],
    ['capPercent', '80 deg'],
    ['gamma', '2%'],
  ])('%s %s is refused, and what would do is told', (key, text) => {
    const setting = settingByKey.get(key)!;
    const parsed = parseValue(setting, text, 'here');
    expect(parsed).toMatchObject({ problem: { message: `here: "${text}" is not understood` } });
    const forms = setting.choices.length > 0 ? 'one of 0, 90, 180, 270' : (formsOf(setting.unit) ?? 'to 10');
    expect('problem' in parsed && parsed.problem.hint).toContain(forms);
  });

  test('the words for a ruling', () => {
    const parsed = parseValue(settingByKey.get('rulingLpi')!, '40x', '--ruling');
    expect(parsed).toEqual({
      problem: {
        code: 'bad-value',
        message: '--ruling: "40x" is not understood',
        hint: 'Give 10 to 300 lpi; a bare number is lpi; lpi, /in, /cm or /mm may follow it.',
      },
    });
  });

  test('the JSON Schema of a job lets such texts pass wherever the reader does', () => {
    const { properties } = jobJsonSchema() as {
      properties: Record<string, { type?: unknown; anyOf?: unknown }>;
    };
    for (const key of ['widthMm', 'dpi', 'capPercent', 'rulingLpi', 'angleDeg'])
      expect(properties[key]!.type, key).toEqual(['number', 'string']);
    expect(properties['descreen']!.anyOf).toContainEqual({ type: 'string', pattern: '^[0-9]' });
    expect(properties['gamma']!.type).toBe('number');
  });
});
