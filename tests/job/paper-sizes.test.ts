import { describe, expect, test } from 'vitest';
import { laidPaper, parsePaperSize } from '../../src/job/paper-sizes.ts';

const sides = (text: string): number[] | null => {
  const size = parsePaperSize(text);
  return size && [size.widthMm, size.heightMm];
};

describe('names', () => {
  test('A sizes: each is the one above halved across its long side, down to whole mm (ISO 216, clause 4)', () => {
    for (let n = 1; n <= 6; n++) {
      const [short, long] = sides(`a${n - 1}`)!;
      expect(sides(`A${n}`)).toEqual([Math.floor(long! / 2), short]);
    }
    const [width, height] = sides('a0')!;
    // one square metre, to the rounding of its sides
    expect((width! * height!) / 1e6).toBeCloseTo(1, 3);
  });

  test('B sizes: geometric means of the A sizes to either side, to a millimetre (ISO 216, annex A)', () => {
    for (let n = 1; n <= 6; n++)
      for (const side of [0, 1]) {
        const mean = Math.sqrt(sides(`a${n - 1}`)![side]! * sides(`a${n}`)![side]!);
        expect(Math.abs(sides(`b${n}`)![side]! - mean)).toBeLessThan(1);
      }
    expect(sides('b0')).toEqual([1000, 1414]);
  });

  test('American and paper makers’ sizes are whole inches and halves', () => {
    expect(sides('letter')!.map((mm) => mm / 25.4)).toEqual([8.5, 11]);
    const [width, height] = sides('imperial')!;
    const half = sides('Half Imperial')!;
    expect(half[0]).toBeCloseTo(height! / 2, 9);
    expect(half[1]).toBeCloseTo(width!, 9);
  });

  test('lie as their plate does; typed sizes lie as they were typed', () => {
    const wide = { widthMm: 240, heightMm: 160 };
    expect(laidPaper(parsePaperSize('a3')!, wide)).toEqual({ widthMm: 420, heightMm: 297 });
    expect(laidPaper(parsePaperSize('a3')!, { widthMm: 160, heightMm: 240 })).toEqual({
      widthMm: 297,
      heightMm: 420,
    });
    expect(laidPaper(parsePaperSize('297x420mm')!, wide)).toEqual({ widthMm: 297, heightMm: 420 });
  });
});

test.each([
  ['380x560mm', [380, 560]],
  ['38 × 56 cm', [380, 560]],
  ['22in x 30in', [558.8, 762]],
  ['38cm*560mm', [380, 560]],
  ['500 x 650', [500, 650]],
  ['37,5x50cm', [375, 500]],
])('%s is %j mm', (text, wanted) => expect(sides(text)).toEqual(wanted));

test.each(['', 'moon', '38', '38x', 'x56', '0x56cm', '38x56kg', '38x56x2', '-38x56', '9x9000mm', '1e2x3'])(
  '"%s" is no size',
  (text) => expect(parsePaperSize(text)).toBeNull(),
);
