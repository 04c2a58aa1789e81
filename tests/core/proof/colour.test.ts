import { expect, test } from 'vitest';
import { EtchError } from '../../../src/core/errors.ts';
import { parseColour } from '../../../src/core/proof/colour.ts';

// sRGB decoding, IEC 61966-2-1: code 128 → 0.215860500, 192 → 0.527115126, 51 → 0.033104767 (from memory)
test.each<[string, number[]]>([
  ['#808080', [0.2158605, 0.2158605, 0.2158605]],
  ['#FFF', [1, 1, 1]],
  ['#3c0', [0.033104767, 0.603827339, 0]],
  [' Silver ', [0.527115126, 0.527115126, 0.527115126]],
  ['navy', [0, 0, 0.2158605]],
])('%s is a colour', (text, light) => {
  parseColour(text, 'ink').forEach((value, i) => {
    expect(value).toBeCloseTo(light[i]!, 8);
  });
});

test.each(['', '#12', '#12345', '#ggg', '123456', 'constructor', 'rgb(1,2,3)'])('"%s" is none', (text) => {
  expect(() => parseColour(text, 'ink')).toThrow(EtchError);
  expect(() => parseColour(text, 'ink')).toThrow(/colour of the ink/);
});
