import { describe, expect, test } from 'vitest';
import { countBits, getBit } from '../../../src/core/bitmap.ts';
import { type KernelName, kernelNames, kernels } from '../../../src/core/screens/diffusion/index.ts';
import { errordiffusion } from '../../../src/core/screens/errordiffusion.ts';
import { screens } from '../../../src/core/screens/index.ts';
import { coverage, type Drawing, flat, screenBands, screened, toneOfCode } from './drive.ts';

const withKernel = (kernel: KernelName, drawing: Drawing) => screened(errordiffusion, drawing, { kernel });
const WEDGE_TONES = Array.from({ length: 21 }, (_, step) => Math.round((step * 65535) / 20));

describe.each(kernelNames)('%s keeps the tone', (kernel) => {
  // Published kernels without a random part, exact arithmetic: worst of all 0.51 points on these patches.
  test('codes 8 … 247 on 128 × 128, within 0.6 points, from a bare start', () => {
    for (let code = 8; code < 248; code += 7) {
      const drawing = flat(toneOfCode(code), 128);
      const open = () =>
        kernels[kernel].open({
          widthPx: 128,
          thresholdTone: 32767,
          scan: 'serpentine',
          sides: 'drop',
          noise: 0,
          seed: 1,
          plate: 0,
          firstRow: 0,
        });
      const drawn = coverage(screenBands(open, drawing));
      expect(Math.abs(drawn - (255 - code) / 255), `code ${code}`).toBeLessThan(0.006);
    }
  });

  test('codes 8 … 247 on 128 × 128, within 0.6 points, as plates are made', () => {
    for (let code = 8; code < 248; code += 7)
      expect(
        Math.abs(coverage(withKernel(kernel, flat(toneOfCode(code), 128))) - (255 - code) / 255),
        `code ${code}`,
      ).toBeLessThan(0.006);
  });

  test('C25 a wedge of 21 steps of 128 × 128 within 0.3 points, rising', () => {
    const drawn = WEDGE_TONES.map((tone) => coverage(withKernel(kernel, flat(tone, 128))));
    drawn.forEach((share, step) => {
      expect(Math.abs(share - step / 20), `step ${step}`).toBeLessThan(0.003);
      if (step > 0) expect(share).toBeGreaterThan(drawn[step - 1]!);
    });
  });

  test('C23 paper has no dot and solids no hole', () => {
    for (const seed of [0, 1, 2, 3]) {
      expect(countBits(screened(errordiffusion, flat(0, 150, 70), { kernel, seed }).data)).toBe(0);
      expect(countBits(screened(errordiffusion, flat(65535, 150, 70), { kernel, seed }).data)).toBe(150 * 70);
    }
  });

  test('C23 paper and solids stay clean beside every other tone', () => {
    // columns of paper and solid between columns of other tones, which push as much error as they can
    for (const beside of [1, 300, 16000, 32767, 32768, 50000, 65534]) {
      const drawing: Drawing = {
        widthPx: 61,
        heightPx: 61,
        toneAt: (x, y) => ((x + (y >> 3)) % 3 === 0 ? 0 : (x + y) % 5 === 0 ? 65535 : beside),
      };
      const map = withKernel(kernel, drawing);
      for (let y = 0; y < 61; y++)
        for (let x = 0; x < 61; x++) {
          const tone = drawing.toneAt(x, y);
          if (tone === 0) expect(getBit(map, x, y)).toBe(0);
          if (tone === 65535) expect(getBit(map, x, y)).toBe(1);
        }
    }
  });

  test('C23 codes 127 and 128 within 0.6 points in every quarter of 128 × 128', () => {
    for (const code of [127, 128]) {
      const map = withKernel(kernel, flat(toneOfCode(code), 128));
      for (const [left, top] of [
        [0, 0],
        [64, 0],
        [0, 64],
        [64, 64],
      ] as const) {
        let ink = 0;
        for (let y = 0; y < 64; y++)
          ink += countBits(map.data, (top + y) * 16 + left / 8, (top + y) * 16 + left / 8 + 8);
        expect(Math.abs(ink / 4096 - (255 - code) / 255), `code ${code} at ${left}, ${top}`).toBeLessThan(
          0.006,
        );
      }
    }
  });

  test('C23 code 254 on 512 × 512 draws 0.1 … 0.8 %', () => {
    const share = coverage(withKernel(kernel, flat(toneOfCode(254), 512)));
    expect(share).toBeGreaterThan(0.001);
    expect(share).toBeLessThan(0.008);
  });

  test('C23 two columns, one solid and one paper, stay as they are', () => {
    const drawing: Drawing = { widthPx: 2, heightPx: 40, toneAt: (x) => (x === 0 ? 65535 : 0) };
    expect([...withKernel(kernel, drawing).data]).toEqual(new Array(40).fill(0x80));
  });
});

test.each([2, 4, 8, 16])('C25 Bayer %d draws every wedge step to half a level', (matrix) => {
  const drawn = WEDGE_TONES.map((tone) => coverage(screened(screens.bayer, flat(tone, 128), { matrix })));
  drawn.forEach((share, step) => {
    expect(Math.abs(share - step / 20), `step ${step}`).toBeLessThanOrEqual(0.5 / (matrix * matrix) + 1e-4);
    if (step > 0) expect(share).toBeGreaterThanOrEqual(drawn[step - 1]!);
  });
});
