import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { countBits } from '../../../src/core/bitmap.ts';
import { bayer, bayerRank } from '../../../src/core/screens/bayer.ts';
import { openOrdered } from '../../../src/core/screens/ordered.ts';
import { threshold } from '../../../src/core/screens/threshold.ts';
import { flat, hex, opener, placeOf, screenBands, screened, toneOfCode } from './drive.ts';
import { bayerData, goldenDrawing, turnedOver } from './golden.ts';

describe('Bayer, IEEE ICC 1973', () => {
  test.each(Object.entries(bayerData.matrices))('matrix %s by the recursion of the paper', (side, rows) => {
    expect(rows.map((row, y) => row.map((_, x) => bayerRank(x, y, Number(side))))).toEqual(rows);
  });

  test.each([2, 4, 8, 16])('every rank of matrix %d once', (side) => {
    const ranks = Array.from({ length: side * side }, (_, i) =>
      bayerRank(i % side, Math.floor(i / side), side),
    );
    expect(ranks.sort((a, b) => a - b)).toEqual(ranks.map((_, i) => i));
  });

  test.each(Object.entries(bayerData.golden))('published rule, bit for bit: %s', (id, digits) => {
    const [name = '', drawing = ''] = id.split('_');
    const matrix = Number(name.slice('bayer'.length));
    expect(hex(screened(bayer, goldenDrawing(drawing), { matrix }))).toBe(turnedOver(digits));
  });

  test.each([2, 4, 8, 16])('matrix %d: a tone of k cells fills exactly k of each tile', (matrix) => {
    const cells = matrix * matrix;
    for (let k = 0; k <= cells; k++) {
      const map = screened(bayer, flat(Math.round((k / cells) * 65535), 16), { matrix });
      expect(countBits(map.data), `${k} of ${cells}`).toBe((k * 256) / cells);
    }
  });

  test.each([2, 4, 8, 16])('matrix %d: each of the 65536 tones to half a level, both ends pure', (matrix) => {
    const cells = matrix * matrix;
    // the share of a tile that a tone fills, straight from the limits the row kernel compares with
    const row = Array.from({ length: matrix }, (_, y) => {
      const open = opener(bayer, 16, { matrix })(0);
      const bits = new Uint8Array(2);
      return (tone: Uint16Array) => {
        open(tone, y, bits, 0);
        return countBits(bits);
      };
    });
    const tone = new Uint16Array(16);
    for (let t = 0; t <= 65535; t += t < 300 || t > 65200 ? 1 : 37) {
      tone.fill(t);
      const ink = row.reduce((sum, count) => sum + count(tone), 0) / (16 * matrix);
      if (Math.abs(ink - t / 65535) > 0.5 / cells) expect.fail(`tone ${t} draws ${ink}`);
      if (t === 0) expect(ink).toBe(0);
      if (t === 65535) expect(ink).toBe(1);
    }
  });

  test('tones of a matrix are its square and paper', () => {
    expect([2, 4, 8, 16].map((side) => bayer.tones({ matrix: side as 8 }, placeOf()))).toEqual([
      5, 17, 65, 257,
    ]);
  });
});

describe('threshold', () => {
  const inkAt = (levelPercent: number, tone: number): boolean =>
    countBits(screened(threshold, flat(tone, 1), { levelPercent }).data) === 1;

  test('at 50 % grey 127 is ink and grey 128 paper', () => {
    expect(inkAt(50, toneOfCode(127))).toBe(true);
    expect(inkAt(50, toneOfCode(128))).toBe(false);
    expect(inkAt(50, 32767)).toBe(false);
    expect(inkAt(50, 32768)).toBe(true);
  });

  test('a tone of exactly the level is ink', () => {
    expect(inkAt(20, 13107)).toBe(true);
    expect(inkAt(20, 13106)).toBe(false);
  });

  test('at 0 % all but paper is ink, at 100 % only solids are', () => {
    expect([0, 1, 65535].map((tone) => inkAt(0, tone))).toEqual([false, true, true]);
    expect([0, 65534, 65535].map((tone) => inkAt(100, tone))).toEqual([false, false, true]);
  });
});

test('eight pixels at a time compare as one by one', () => {
  const law = fc.property(
    fc.constantFrom([8, 1], [8, 4], [16, 16], [32, 2]),
    fc.integer({ min: 1, max: 70 }),
    fc.infiniteStream(fc.integer({ min: 0, max: 65535 })),
    fc.integer({ min: -70, max: 70 }),
    ([tileWidth = 8, tileHeight = 1], widthPx, numbers, top) => {
      const next = (): number => numbers.next().value as number;
      const paperTones = Uint16Array.from({ length: tileWidth * tileHeight }, () => Math.min(65534, next()));
      const tones = Array.from({ length: widthPx * 3 }, next);
      const at = (x: number, y: number): number => tones[y * widthPx + x]!;
      const open = openOrdered({ widthPx: tileWidth, heightPx: tileHeight, paperTones }, widthPx);
      const map = screenBands(() => (tone, y, bits, to) => open(tone, y + top, bits, to), {
        widthPx,
        heightPx: 3,
        toneAt: at,
      });
      const slow = new Uint8Array(map.data.length);
      for (let y = 0; y < 3; y++)
        for (let x = 0; x < widthPx; x++) {
          const tileY = (((y + top) % tileHeight) + tileHeight) % tileHeight;
          if (at(x, y) > paperTones[tileY * tileWidth + (x % tileWidth)]!)
            slow[y * map.strideBytes + (x >> 3)]! |= 0x80 >> (x % 8);
        }
      expect(map.data).toEqual(slow);
    },
  );
  fc.assert(law, { seed: 1, numRuns: 200 });
});
