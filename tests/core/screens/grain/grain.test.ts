import { createHash } from 'node:crypto';
import { describe, expect, test } from 'vitest';
import { countWord } from '../../../../src/core/bitmap.ts';
import { EtchError } from '../../../../src/core/errors.ts';
import { openFft2d } from '../../../../src/core/fft.ts';
import { eachOpened } from '../../../../src/core/hold/opening.ts';
import type { ScreenDef, ScreenPlace } from '../../../../src/core/screens/contract.ts';
import { grain } from '../../../../src/core/screens/grain.ts';
import type { ThresholdTile } from '../../../../src/core/screens/ordered.ts';
import { spotCurve } from '../../../../src/core/screens/spot-curve.ts';
import { openSpot } from '../../../../src/core/spot/coverage.ts';
import { etchedSurface } from '../../../metrics/etched.mjs';
import { thinLandShare } from '../../../metrics/thin.mjs';
import { type Drawing, flat, placeOf, screened, settled, tablesFor } from '../drive.ts';

const def = grain as unknown as ScreenDef;

/** A plate of `dpi` with a spot of so many micrometres; small tiles by coarse pixels where the law allows. */
const plateOf = (dpi: number, spotUm: number, given: Partial<ScreenPlace> = {}): ScreenPlace =>
  placeOf({ pxPerMm: dpi / 25.4, spotPx: (spotUm * dpi) / 25400, ...given });

const tileOf = (given: Record<string, unknown>, place: ScreenPlace): ThresholdTile =>
  tablesFor(def, settled(def, given, place), place) as ThresholdTile;

/** The tile at half tone, as ±½. */
function halfTone({ paperTones }: ThresholdTile): Float64Array {
  return Float64Array.from(paperTones, (tone) => (tone < 32768 ? 0.5 : -0.5));
}

/**
 * Wavelength at the middle of the ring in the spectrum at half tone, in pixels: mean frequency, weighted by power, of all within
 * a factor of 1.6 of the peak. And the strongest wave of three periods or longer, as a share of tone: what a tile shows of its repeating.
 */
function spectrumOf(tile: ThresholdTile, askedPx: number): { periodPx: number; strongest: number } {
  const side = tile.widthPx;
  const re = halfTone(tile);
  const im = new Float64Array(re.length);
  openFft2d(side)(re, im);
  const rings = new Float64Array(side);
  let strongest = 0;
  for (let y = 0; y < side; y++)
    for (let x = 0; x < side; x++) {
      const i = y * side + x;
      if (i === 0) continue;
      const radius = Math.hypot(Math.min(x, side - x), Math.min(y, side - y));
      const power = re[i]! ** 2 + im[i]! ** 2;
      rings[Math.round(radius)] = rings[Math.round(radius)]! + power / radius;
      // amplitude of a real wave: twice its share of the transform
      if (radius <= side / (3 * askedPx)) strongest = Math.max(strongest, (2 * Math.sqrt(power)) / re.length);
    }
  // smoothed by a tenth of the radius: single rings of a random grain are uneven
  const smooth = rings.map((_, r) => {
    const half = Math.round(r / 10);
    return rings.subarray(Math.max(1, r - half), r + half + 1).reduce((a, b) => a + b, 0) / (2 * half + 1);
  });
  const peak = smooth.indexOf(Math.max(...smooth));
  let sum = 0;
  let weighted = 0;
  for (let r = Math.round(peak / 1.6); r <= Math.min(side / 2, Math.round(peak * 1.6)); r++) {
    sum += rings[r]!;
    weighted += rings[r]! * r;
  }
  return { periodPx: (side * sum) / weighted, strongest };
}

describe('the period asked for, at every resolution', () => {
  // 250 um asked: 3.0, 4.9, 5.9 and 9.8 px
  const foundMm = [300, 500, 600, 1000].map((dpi) => {
    const { periodPx, strongest } = spectrumOf(tileOf({ grainMm: 0.25 }, plateOf(dpi, 50)), dpi / 101.6);
    return { dpi, mm: (periodPx * 25.4) / dpi, strongest };
  });

  test.each(foundMm)('$dpi dpi: 250 um within 5 %', ({ mm }) => {
    expect(Math.abs(mm / 0.25 - 1)).toBeLessThan(0.05);
  });

  test('the same in mm at 500 and 1,000 dpi', () => {
    expect(Math.abs(foundMm[1]!.mm / foundMm[3]!.mm - 1)).toBeLessThan(0.05);
  });

  test.each(foundMm)('$dpi dpi: no long wave of the tile above 0.4 % of tone', ({ strongest }) => {
    expect(strongest).toBeLessThan(0.004);
  });
});

test('all 256 tones fill their share of the tile to 0.01 %, whichever side is etched', () => {
  for (const etchedSide of ['ink', 'paper'] as const) {
    const { paperTones } = tileOf({ grainMm: 0.26 }, plateOf(500, 100, { etchedSide }));
    const sorted = paperTones.slice().sort();
    let below = 0;
    for (let code = 0; code < 256; code++) {
      while (below < sorted.length && sorted[below]! < code * 257) below++;
      expect(Math.abs(below / sorted.length - code / 255), `${etchedSide} ${code}`).toBeLessThan(1e-4);
    }
  }
});

/** Share of a side's area that is thinner than so many pixels, far from the edges of the plate. */
function thinShare(map: ReturnType<typeof screened>, side: 'etched' | 'kept', widthPx: number): number {
  let thin = 0;
  let all = 0;
  eachOpened(map, { side, widthPx, squareOnly: true, goesOnOutside: true }, (block) => {
    for (let y = 0; y < block.rows; y++)
      for (let k = 1; k < map.widthPx / 32 - 1; k++) {
        const i = block.origin + y * block.stride + k;
        if (block.firstRow + y < 8 || block.firstRow + y >= map.heightPx - 8) continue;
        thin += countWord(block.removed[i]!);
        all += countWord(block.source[i]!);
      }
  });
  return all === 0 ? 0 : thin / all;
}

describe.each([
  [4, 0.01],
  [2.5, 0.07],
])('period %d × the spot', (times, most) => {
  test.each([2, 3])('marks and lands of a spot of %d px hold at every tone', (spotPx) => {
    const place = placeOf({ spotPx });
    const given = { grainMm: (times * spotPx) / place.pxPerMm };
    for (let tone = 0.05; tone < 0.96; tone += 0.15) {
      const map = screened(def, flat(Math.round(tone * 65535), 256), given, {}, place);
      for (const side of ['etched', 'kept'] as const)
        expect(thinShare(map, side, spotPx), `${side} at ${tone}`).toBeLessThanOrEqual(most);
    }
  });
});

/** Whole pixels along the row that the narrowest mark takes: a beam that stays on over its pixel marks one more. */
const widthOf = (beam: 'pulse' | 'sweep', spotPx: number): number =>
  Math.ceil(spotPx) + (beam === 'sweep' ? 1 : 0);

describe.each([
  [4, 0.01],
  [2.5, 0.07],
])('period %d × the narrowest mark, after the spot', (times, most) => {
  // measured on the etched surface, to a quarter of a pixel; the spots of 0.10 and 0.15 mm at 500 dpi, and what lies between
  const pulses = [2, 2.25, 2.5, 2.55, 2.75, 2.95].map((spotPx) => ['pulse', spotPx] as const);
  const sweeps = [1.5, 2, 2.25, 2.5, 2.95].map((spotPx) => ['sweep', spotPx] as const);
  test.each([...pulses, ...sweeps])('%s: lands hold beside marks of %d px', (beam, spotPx) => {
    const place = placeOf({ spotPx, beam, allowsForSpot: true });
    const given = { grainMm: (times * widthOf(beam, spotPx)) / place.pxPerMm };
    const params = settled(def, given, place);
    const { table } = spotCurve(def, params, place, tablesFor(def, params, place));
    for (const tone of [0.2, 0.5, 0.6, 0.8, 0.9]) {
      const map = screened(def, flat(table[Math.round(tone * 65535)]!, 256), given, {}, place);
      const thin = thinLandShare(etchedSurface(map, spotPx, 4, beam), 4 * 256, Math.floor(4 * spotPx), 4 * 8);
      expect(thin, `at ${tone}`).toBeLessThanOrEqual(most);
    }
  });
});

/** Slopes, soft and hard edges and fine texture, as in a photograph of water and boats. */
const picture: Drawing = {
  widthPx: 512,
  heightPx: 512,
  toneAt: (x, y) => {
    const wave = 9000 * Math.sin(x / 7 + y / 19) + 5000 * Math.sin((x * y) / 2000) + 3000 * Math.sin(y / 2);
    const boat = Math.hypot((x % 97) - 48, ((y % 83) - 40) * 1.4) < 25 ? 14000 : 0;
    return Math.max(0, Math.min(52000, Math.round(16000 + wave + boat + 20 * y)));
  },
};

describe('what the spot etches, after the curve', () => {
  // at the finest grain that holds and at the default
  const beams = ['pulse', 'sweep'] as const;
  const cases = beams.flatMap((beam) =>
    [2.5, 4].flatMap((marks) => [1, 1.5, 2, 2.5, 3].map((spotPx) => [beam, marks, spotPx] as const)),
  );
  test.each(cases)(
    '%s: grain of %d marks, spot of %d px: flats and a picture come out as asked',
    (beam, marks, spotPx) => {
      const place = placeOf({ spotPx, beam, allowsForSpot: true });
      const given = { grainMm: (marks * widthOf(beam, spotPx)) / place.pxPerMm };
      const params = settled(def, given, place);
      const { table } = spotCurve(def, params, place, tablesFor(def, params, place));
      const area = openSpot({ spotPx, beam });
      const error = (drawing: Drawing): number => {
        const map = screened(
          def,
          { ...drawing, toneAt: (x, y) => table[drawing.toneAt(x, y)]! },
          given,
          {},
          place,
        );
        let wanted = 0;
        for (let y = 8; y < drawing.heightPx - 8; y++)
          for (let x = 0; x < drawing.widthPx; x++) wanted += drawing.toneAt(x, y) / 65535;
        return (area(map, 8, drawing.heightPx - 8) - wanted) / (drawing.widthPx * (drawing.heightPx - 16));
      };
      const { repeatPx } = grain.frame!(params as never, place);
      for (const tone of [0.06, 0.22, 0.65])
        expect(
          Math.abs(error(flat(Math.round(tone * 65535), repeatPx!.x, repeatPx!.y + 16))),
          `flat ${tone}`,
        ).toBeLessThan(0.0035);
      // the finest grain under a wide beam that stays on comes out light: strokes would be 4 to 5 points dark without
      const most = beam === 'sweep' && marks === 2.5 && spotPx > 2 ? 0.006 : 0.0035;
      expect(Math.abs(error(picture)), 'picture').toBeLessThan(most);
    },
  );
});

const hash = ({ paperTones }: ThresholdTile): string =>
  createHash('sha256').update(new Uint8Array(paperTones.buffer)).digest('hex').slice(0, 16);

test('the tile of a seed is the same in every process; another seed, plate or irregularity has another', () => {
  const place = plateOf(500, 100);
  const first = hash(tileOf({ grainMm: 0.26 }, place));
  expect(first).toBe('944cc124ff347f10');
  const others = [
    tileOf({ grainMm: 0.26, seed: 2 }, place),
    tileOf({ grainMm: 0.26, irregularity: 1 }, place),
    tileOf({ grainMm: 0.26 }, { ...place, plate: 1 }),
  ];
  expect(new Set([first, ...others.map(hash)]).size).toBe(4);
});

describe('sizes', () => {
  test('unless given, four times the spot or the smallest feature that holds', () => {
    expect(settled(def, {}, plateOf(500, 100))['grainMm']).toBeCloseTo(0.4, 9);
    expect(settled(def, {}, plateOf(1000, 50, { minKeptPx: 6 }))['grainMm']).toBeCloseTo(0.6096, 9);
    for (let spotPx = 0.5; spotPx < 6; spotPx += 0.17)
      expect(() => settled(def, {}, placeOf({ spotPx }))).not.toThrow();
  });

  test('too fine a grain is refused, and the finest that holds is told', () => {
    expect(() => settled(def, { grainMm: 0.264 }, plateOf(500, 100))).not.toThrow();
    try {
      settled(def, { grainMm: 0.24 }, plateOf(500, 100));
      expect.fail('was let through');
    } catch (error) {
      expect(error).toBeInstanceOf(EtchError);
      expect((error as EtchError).hint).toContain('254 um');
    }
  });

  test('are told as achieved', () => {
    const place = plateOf(500, 100);
    const params = settled(def, { grainMm: 0.3 }, place);
    const told = def.achieved!(params, place, tablesFor(def, params, place));
    expect(told).toMatchObject({ grainMm: 0.3, tilePx: 512 });
    expect(told['minDotMm']).toBeCloseTo(0.1016, 9);
    expect(told['minLandMm']).toBeCloseTo(0.1016, 9);
    expect(Number(told['tones'])).toBeGreaterThan(1000);
  });
});
