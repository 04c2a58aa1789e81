import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { AxisMap } from '../../../src/core/geometry.ts';
import { axisFilter } from '../../../src/core/resample/filter.ts';
import { openResampler, TONE_CENTRE } from '../../../src/core/resample/index.ts';

const whole = (sourcePx: number, outPx: number): AxisMap => ({
  sourcePx,
  outPx,
  startPx: 0,
  stepPx: sourcePx / outPx,
});

function resize(
  source: number[][],
  outW: number,
  outH: number,
  maps?: { x: AxisMap; y: AxisMap },
): number[][] {
  const width = source[0]!.length;
  const height = source.length;
  const row = openResampler(
    {
      widthPx: width,
      heightPx: height,
      readRow: (y, into, at) =>
        into.set(
          source[y]!.map((tone) => tone - TONE_CENTRE),
          at,
        ),
    },
    maps?.x ?? whole(width, outW),
    maps?.y ?? whole(height, outH),
  );
  return Array.from({ length: outH }, (_, y) => {
    const tone = new Uint16Array(outW);
    row(y, tone);
    return [...tone];
  });
}

const field = (w: number, h: number, tone: (x: number, y: number) => number) =>
  Array.from({ length: h }, (_, y) => Array.from({ length: w }, (_, x) => tone(x, y)));

/** Two dimensions at once, in doubles, straight from the definition. */
function slow(source: number[][], outW: number, outH: number): number[][] {
  const lanczos = (x: number): number => {
    if (Math.abs(x) < 1e-9) return 1;
    if (Math.abs(x) >= 3) return 0;
    return (Math.sin(Math.PI * x) / (Math.PI * x)) * (Math.sin((Math.PI * x) / 3) / ((Math.PI * x) / 3));
  };
  const axis = (values: number[], out: number): number[] => {
    const step = values.length / out;
    const stretch = Math.max(1, step);
    return Array.from({ length: out }, (_, i) => {
      const centre = (i + 0.5) * step - 0.5;
      let sum = 0;
      let weight = 0;
      let lo = Number.POSITIVE_INFINITY;
      let hi = Number.NEGATIVE_INFINITY;
      for (let k = Math.floor(centre - 3 * stretch) - 1; k <= centre + 3 * stretch + 1; k++) {
        const value = values[Math.min(values.length - 1, Math.max(0, k))]!;
        const w = lanczos((k - centre) / stretch);
        sum += w * value;
        weight += w;
        if (Math.abs(k - centre) < Math.max(1, step / 2) + 1e-7) {
          lo = Math.min(lo, value);
          hi = Math.max(hi, value);
        }
      }
      return Math.min(hi, Math.max(lo, sum / weight));
    });
  };
  const across = source.map((row) => axis(row, outW));
  const columns = Array.from({ length: outW }, (_, x) =>
    axis(
      across.map((row) => row[x]!),
      outH,
    ),
  );
  return Array.from({ length: outH }, (_, y) => Array.from({ length: outW }, (_, x) => columns[x]![y]!));
}

describe('resampling', () => {
  test('C19 a centred impulse stays centred within 0.05 px at 0.5, 2, 2.37 and 3', () => {
    // libvips enlarges with a shift of half an output pixel (lovell/sharp #1886, libvips #504); here centre goes to centre
    const impulse = field(101, 101, (x, y) => (x === 50 && y === 50 ? 65535 : 0));
    for (const scale of [0.5, 2, 2.37, 3]) {
      const out = Math.round(101 * scale);
      const tones = resize(impulse, out, out);
      let sum = 0;
      let sx = 0;
      let sy = 0;
      tones.forEach((row, y) => {
        row.forEach((tone, x) => {
          sum += tone;
          sx += tone * x;
          sy += tone * y;
        });
      });
      expect(Math.abs(sx / sum - (out - 1) / 2)).toBeLessThan(0.05);
      expect(Math.abs(sy / sum - (out - 1) / 2)).toBeLessThan(0.05);
    }
  });

  test('a picture that is not resized passes through untouched', () => {
    const picture = fc
      .tuple(fc.integer({ min: 1, max: 20 }), fc.integer({ min: 1, max: 12 }))
      .chain(([w, h]) =>
        fc.array(fc.array(fc.nat(65535), { minLength: w, maxLength: w }), { minLength: h, maxLength: h }),
      );
    fc.assert(
      fc.property(picture, (source) => {
        expect(resize(source, source[0]!.length, source.length)).toEqual(source);
      }),
      { seed: 1, numRuns: 100 },
    );
  });

  test('a whole-pixel crop without resizing is exact too', () => {
    const source = field(20, 10, (x, y) => x * 997 + y * 31);
    const maps = {
      x: { sourcePx: 20, outPx: 12, startPx: 4, stepPx: 1 },
      y: { sourcePx: 10, outPx: 6, startPx: 2, stepPx: 1 },
    };
    expect(resize(source, 12, 6, maps)).toEqual(field(12, 6, (x, y) => (x + 4) * 997 + (y + 2) * 31));
  });

  test('equals the slow version within four codes of 16 bit, since weights are 15 bit', () => {
    const sizes = fc.record({
      source: fc
        .tuple(fc.integer({ min: 1, max: 14 }), fc.integer({ min: 1, max: 14 }))
        .chain(([w, h]) =>
          fc.array(fc.array(fc.nat(65535), { minLength: w, maxLength: w }), { minLength: h, maxLength: h }),
        ),
      w: fc.integer({ min: 1, max: 40 }),
      h: fc.integer({ min: 1, max: 40 }),
    });
    fc.assert(
      fc.property(sizes, ({ source, w, h }) => {
        const fast = resize(source, w, h);
        slow(source, w, h).forEach((row, y) => {
          row.forEach((tone, x) => {
            expect(Math.abs(fast[y]![x]! - tone)).toBeLessThanOrEqual(4);
          });
        });
      }),
      { seed: 1, numRuns: 150 },
    );
  });

  test('flat tones stay flat, and white beside black gets no ghosts', () => {
    for (const tone of [0, 1, 32767, 65535])
      for (const out of [7, 13, 40])
        expect(
          new Set(
            resize(
              field(13, 13, () => tone),
              out,
              out,
            ).flat(),
          ),
        ).toEqual(new Set([tone]));
    const edge = resize(
      field(20, 4, (x) => (x < 10 ? 65535 : 0)),
      54,
      11,
    );
    // the source's last black centre is at 9, so from its image on everything must be pure
    for (const row of edge) {
      const first = Math.floor(row.length * (9 / 20));
      const last = Math.ceil(row.length * (11 / 20));
      expect(new Set(row.slice(0, first))).toEqual(new Set([65535]));
      expect(new Set(row.slice(last + 1))).toEqual(new Set([0]));
    }
  });

  test('mean tone is conserved within 0.1 % on pictures', () => {
    // a smooth picture with texture; measured against full scale
    const picture = field(180, 120, (x, y) =>
      Math.round(
        32768 +
          20000 * Math.sin(x / 17) * Math.cos(y / 23) +
          6000 * Math.sin(x * 1.7 + y * 0.9) +
          4000 * Math.sin(x * 0.31 - y * 2.1),
      ),
    );
    const mean = (rows: number[][]) => rows.flat().reduce((a, b) => a + b, 0) / rows.flat().length;
    for (const [w, h] of [
      [90, 60],
      [61, 41],
      [427, 284],
      [360, 240],
      [37, 25],
    ] as const)
      expect(Math.abs(mean(resize(picture, w, h)) - mean(picture)) / 65535).toBeLessThan(0.001);
  });

  test('a line of one output pixel or more survives the threshold at every phase', () => {
    // vertical line of width L source pixels on paper, reduced so that L source pixels are ≥ 1 output pixel
    for (const step of [1, 1.3, 2, 2.37, 3.7, 5, 0.6, 0.25])
      for (const lineWidth of [1, 2, 3, 4, 6].filter((w) => w / step >= 1))
        for (let phase = 0; phase < 1; phase += 0.05) {
          const source = field(64, 3, (x) => (x >= 30 && x < 30 + lineWidth ? 65535 : 0));
          const outPx = Math.floor(60 / step);
          const maps = {
            x: { sourcePx: 64, outPx, startPx: phase * step, stepPx: step },
            y: { sourcePx: 3, outPx: 3, startPx: 0, stepPx: 1 },
          };
          const row = resize(source, outPx, 3, maps)[1]!;
          expect(row.some((tone) => tone > 32767)).toBe(true);
        }
  });

  test('the weights of every output pixel add up to one', () => {
    for (const [source, out] of [
      [100, 237],
      [1000, 37],
      [7, 7],
      [3, 500],
    ] as const) {
      const { taps, weights } = axisFilter(whole(source, out));
      for (let i = 0; i < out; i++) {
        const sum = weights.slice(i * taps, (i + 1) * taps).reduce((a, b) => a + b, 0);
        expect(sum).toBe(32768);
      }
    }
  });
});
