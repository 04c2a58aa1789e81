import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { countBits } from '../../../src/core/bitmap.ts';
import { kernelNames, kernels } from '../../../src/core/screens/diffusion/index.ts';
import { errordiffusion } from '../../../src/core/screens/errordiffusion.ts';
import { coverage, type Drawing, flat, hex, placeOf, screenBands, screened } from './drive.ts';

const slope = (widthPx: number, heightPx: number): Drawing => ({
  widthPx,
  heightPx,
  toneAt: (x, y) => Math.min(65535, Math.round((65535 * x) / (widthPx - 1)) + (y % 3)),
});

/** Drawn by this program; kept so that a change of any dot is noticed, not as proof that the dots are right. */
const kept = JSON.parse(
  readFileSync(new URL('../../../fixtures/golden/errordiffusion.json', import.meta.url), 'utf8'),
) as Record<string, string>;

describe.each(kernelNames)('%s as plates are made', (kernel) => {
  test('draws the dots it drew before', () => {
    expect(hex(screened(errordiffusion, slope(40, 12), { kernel }))).toBe(kept[kernel]);
  });

  test('bands of 512 rows draw the same dots whichever comes first', () => {
    const drawing = slope(37, 1100);
    const down = screened(errordiffusion, drawing, { kernel }, { bandRows: 512 });
    const up = screened(errordiffusion, drawing, { kernel }, { bandRows: 512, bottomUp: true });
    expect(hex(up)).toBe(hex(down));
  });

  test('no error is lost: a long strip holds its tone to what one row can carry', () => {
    // 64 px wide, where dropping error at the sides would lose 100 dots and more; each pixel carries half a dot at most
    for (const tone of [5000, 13107, 40000, 60000]) {
      const drawing = flat(tone, 64, 1000);
      const open = (firstRow: number) =>
        kernels[kernel].open({
          widthPx: 64,
          thresholdTone: 32767,
          scan: 'serpentine',
          sides: 'keep',
          noise: 0,
          seed: 1,
          plate: 0,
          firstRow,
        });
      const dots = countBits(screenBands(open, drawing).data);
      expect(Math.abs(dots - (64 * 1000 * tone) / 65535), `tone ${tone}`).toBeLessThan(32);
    }
  });

  test('a band seam shows neither a light nor a dark stripe', () => {
    // 8 rows on either side of the seam at row 512, over 4,000 px
    const map = screened(errordiffusion, flat(6554, 4000, 530), { kernel }, { bandRows: 512 });
    const ink = countBits(map.data, 504 * map.strideBytes, 520 * map.strideBytes);
    expect(Math.abs(ink / (16 * 4000) - 6554 / 65535)).toBeLessThan(0.001);
  });

  test('light tones start with the first rows', () => {
    // tone 2/255; from an empty error row the first dot comes after tens of rows
    const map = screened(errordiffusion, flat(514, 2048, 64), { kernel });
    expect(coverage(map) / (514 / 65535)).toBeGreaterThan(0.96);
    expect(coverage(map) / (514 / 65535)).toBeLessThan(1.04);
  });

  test('seed and plate number change the dots, not the tone', () => {
    const drawing = flat(20000, 256);
    const draw = (seed: number, plate: number) => {
      return screened(errordiffusion, drawing, { kernel, seed }, {}, placeOf({ plate }));
    };
    const maps = [draw(1, 0), draw(2, 0), draw(1, 1)];
    expect(new Set(maps.map(hex)).size).toBe(3);
    for (const map of maps) expect(Math.abs(coverage(map) - 20000 / 65535)).toBeLessThan(0.003);
  });
});
