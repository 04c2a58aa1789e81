import { describe, expect, test } from 'vitest';
import { type Bitmap, createBitmap, fillRow, setBit } from '../../../src/core/bitmap.ts';
import { checkHold } from '../../../src/core/hold/check.ts';
import type { HoldCheck, HoldNeed } from '../../../src/core/hold/contract.ts';
import { holdsFromPx, widestGapMm, widthMm, widthPx } from '../../../src/core/hold/widths.ts';
import { fromTest } from './slow.ts';

const beam = { pitchMm: 25.4 / 500, spotMm: 0.1 };
const px = (mm: number): number => Math.round(mm / beam.pitchMm);

const relief: HoldNeed[] = [
  { code: 'thin-wall', measure: 'walls', side: 'kept', limit: 'wall' },
  { code: 'small-dot', measure: 'dots', side: 'kept', limit: 'wall' },
  { code: 'gap-fills', measure: 'thin', side: 'etched', limit: 'gap', goesOnOutside: true },
  { code: 'floor-touched', measure: 'wide', side: 'etched', limit: 'floor' },
  { code: 'kept-ring', measure: 'ring', side: 'kept', limit: 'ring' },
  { code: 'in-saw', measure: 'keepOut', side: 'kept', limit: 'saw' },
];
const intaglio: HoldNeed[] = [
  { code: 'thin-land', measure: 'thin', side: 'kept', limit: 'land' },
  { code: 'small-mark', measure: 'dots', side: 'etched', limit: 'mark' },
  { code: 'open-bite', measure: 'wide', side: 'etched', limit: 'pool' },
  { code: 'open-bite-field', measure: 'merged', side: 'etched', limit: 'pool' },
  { code: 'in-bevel', measure: 'keepOut', side: 'etched', limit: 'bevel' },
];
const memory = (mm: number) => ({ mm, basis: 'from-memory' as const });
const limits = {
  wall: memory(0.4),
  gap: memory(0.3),
  floor: memory(30),
  ring: memory(0),
  saw: memory(2),
  land: memory(0.08),
  mark: memory(0.2),
  pool: memory(0.8),
  bevel: memory(2),
};

function box(map: Bitmap, left: number, top: number, wide: number, high: number, bit: 0 | 1): void {
  for (let y = top; y < top + high; y++) fillRow(map.data, y * map.strideBytes, left, left + wide, bit);
}

/** What was found, with places in pixels. */
const told = (checks: readonly HoldCheck[]) =>
  checks
    .filter(({ count }) => count > 0)
    .map(({ code, count, worstMm, places }) => ({
      code,
      count,
      worstMm,
      places: places.map(({ xMm, yMm, widthMm: w, heightMm: h }) =>
        [xMm, yMm, w, h].map((mm) => Math.round(mm / beam.pitchMm)),
      ),
    }));

/** A block of 100 × 80 mm, cleared for 3 mm around. */
function block(): Bitmap {
  const map = createBitmap(px(100), px(80));
  box(map, 0, 0, map.widthPx, map.heightPx, 1);
  box(map, px(3), px(3), px(94), px(74), 0);
  return map;
}

describe('will it hold: a relief block drawn with known faults', () => {
  test('a sound block has none', () => {
    const map = block();
    box(map, px(70), px(10), px(20), px(8), 1);
    expect(told(checkHold(map, relief, { ...beam, limits }))).toEqual([]);
  });

  test('a wall of 0.2 mm, a dot of 0.1 mm, a gap of 0.15 mm and a clearing of 62 mm are found, and nothing else', () => {
    const map = block();
    box(map, px(5), px(5), px(62), px(68), 1); // the clearing, 62 mm the narrower way
    box(map, px(75), px(10), px(15), px(20), 1);
    box(map, px(82), px(10), 5, px(20), 0); // (5 + 1) · 0.0508 − 0.1 = 0.205 mm
    box(map, px(86), px(15), 3, 3, 0); // (3 + 1) · 0.0508 − 0.1 = 0.103 mm
    box(map, px(75), px(50), px(15), 2, 1); // (2 − 1) · 0.0508 + 0.1 = 0.151 mm
    const found = told(checkHold(map, relief, { ...beam, limits }));
    expect(found.map(({ code, count }) => [code, count])).toEqual([
      ['thin-wall', 1],
      ['small-dot', 1],
      ['gap-fills', 1],
      ['floor-touched', 1],
    ]);
    const [wall, dot, gap, floor] = found;

    expect(Math.abs(wall!.worstMm! - 0.2048)).toBeLessThan(beam.pitchMm / 10);
    // an octagon's flat reaches a pixel into the wall from where it is rooted
    expect(wall!.places).toEqual([[px(82), px(10) + 1, 5, px(20) - 2]]);
    expect(dot!.worstMm).toBeCloseTo(0.1032, 4);
    expect(dot!.places).toEqual([[px(86), px(15), 3, 3]]);
    expect(gap!.worstMm).toBeCloseTo(0.1508, 4);
    expect(gap!.places).toEqual([[px(75), px(50), px(15), 2]]);
    expect(Math.abs(floor!.worstMm! - ((px(62) - 1) * beam.pitchMm + 0.1))).toBeLessThan(beam.pitchMm + 1e-9);
    const [x, y, w, h] = floor!.places[0]!;
    expect(Math.abs(x! - px(5))).toBeLessThanOrEqual(1);
    expect(Math.abs(w! - px(62))).toBeLessThanOrEqual(1);
    expect(h).toBe(w);
    expect(y!).toBeGreaterThanOrEqual(px(5) - 1);
    expect(y! + h!).toBeLessThanOrEqual(px(73) + 1);
  });

  test('a block left uncleared at its edge has a ring, and walls where the saw goes', () => {
    const map = createBitmap(px(40), px(30));
    box(map, px(1), px(2), px(38), px(26), 1);
    const found = told(checkHold(map, relief, { ...beam, limits }));
    expect(found.map(({ code, count }) => [code, count])).toEqual([
      ['kept-ring', 4],
      ['in-saw', 1],
    ]);
    expect(found[0]!.worstMm).toBeCloseTo((map.heightPx - px(2) - px(26)) * beam.pitchMm, 6);
    expect(found[1]!.worstMm).toBe(0);
  });

  test('a line that runs off the plate is no gap that fills, however thin its part on the plate', () => {
    const map = block();
    box(map, 0, 0, map.widthPx, map.heightPx, 0);
    box(map, 0, 0, 2, map.heightPx, 1);
    const [gap] = checkHold(map, [relief[2]!], { ...beam, limits });
    expect(gap!.count).toBe(0);
  });
});

describe('will it hold: an intaglio plate drawn with known faults', () => {
  /** Rows of short strokes, wide enough and far enough apart. */
  const sound = (): Bitmap => {
    const map = createBitmap(px(60), px(50));
    for (let y = px(5); y < px(45); y += px(2)) box(map, px(5), y, px(50), px(0.5), 1);
    return map;
  };

  test('a sound plate has none', () => {
    expect(told(checkHold(sound(), intaglio, { ...beam, limits }))).toEqual([]);
  });

  test('a pool of 3 mm, a thin land, a small mark and a stroke in the bevel are found, and nothing else', () => {
    const map = createBitmap(px(60), px(50));
    for (let y = px(5); y < px(25); y += px(2)) box(map, px(5), y, px(50), px(0.5), 1);
    const [cx, cy] = [px(20), px(35)];
    for (let y = cy - 40; y <= cy + 40; y++)
      for (let x = cx - 40; x <= cx + 40; x++) if (Math.hypot(x - cx, y - cy) < 29) setBit(map, x, y, 1);
    box(map, px(40), px(30), px(5), 9, 1);
    box(map, px(40), px(30) + 9 + 2, px(5), 9, 1); // a land of (2 + 1) · 0.0508 − 0.1 = 0.052 mm
    box(map, px(40), px(40), 2, 2, 1); // (2 − 1) · 0.0508 + 0.1 = 0.151 mm
    box(map, px(30), px(1), px(5), px(0.5), 1);
    const found = told(checkHold(map, intaglio, { ...beam, limits }));
    expect(found.map(({ code, count }) => [code, count])).toEqual([
      ['thin-land', 1],
      ['small-mark', 1],
      ['open-bite', 1],
      ['in-bevel', 1],
    ]);
    expect(found[0]!.worstMm).toBeCloseTo(0.0524, 4);
    expect(found[0]!.places).toEqual([[px(40), px(30) + 9, px(5), 2]]);
    expect(found[1]!.worstMm).toBeCloseTo(0.1508, 4);
    expect(found[1]!.places).toEqual([[px(40), px(40), 2, 2]]);
    // 57 px across: 56 · 0.0508 + 0.1 = 2.94 mm
    expect(Math.abs(found[2]!.worstMm! - 2.945)).toBeLessThan(beam.pitchMm + 1e-9);
    expect(Math.abs(found[2]!.places[0]![0]! - (cx - 28))).toBeLessThanOrEqual(1);
    expect(Math.abs(found[2]!.places[0]![1]! - (cy - 28))).toBeLessThanOrEqual(1);
    expect(found[3]!.worstMm).toBeCloseTo(px(1) * beam.pitchMm, 6);
    expect(found[3]!.places).toEqual([[px(30), px(1), px(5), px(0.5)]]);
  });

  test('a checkerboard of single pixels is one merged field, not a thousand cautions', () => {
    const map = fromTest(
      px(30),
      px(25),
      (x, y) => x > 100 && x < 420 && y > 96 && y < 400 && (x + y) % 2 === 0,
    );
    const found = told(checkHold(map, intaglio, { ...beam, limits }));
    const field = found.find(({ code }) => code === 'open-bite-field');
    expect(field).toMatchObject({ count: 1 });
    expect(field!.places).toHaveLength(1);
    expect(field!.worstMm).toBeGreaterThan(13);
    const land = found.find(({ code }) => code === 'thin-land');
    expect(land!.places).toHaveLength(1);
  });
});

describe('the worst five', () => {
  test('are those with most area times what is missing, and all are counted', () => {
    const map = createBitmap(px(120), px(40));
    // walls of 1 to 7 px, all of one length: area times what is missing to 9 px is 8, 14, 18, 20, 20, 18, 14
    for (let n = 1; n <= 7; n++) box(map, px(15 * n), px(10), n, 300, 1);
    const need: HoldNeed = { code: 'thin-mark', measure: 'thin', side: 'etched', limit: 'wall' };
    // 0.5 mm needs (0.5 − 0.1) / 0.0508 + 1 = 8.9, so 9 px
    const [check] = checkHold(map, [need], { ...beam, limits: { wall: memory(0.5) } });
    expect(check).toMatchObject({
      code: 'thin-mark',
      limitMm: 0.5,
      basis: 'from-memory',
      count: 7,
      share: 1,
    });
    expect(check!.worstMm).toBeCloseTo(0.1, 9);
    expect(check!.areaMm2).toBeCloseTo(28 * 300 * beam.pitchMm ** 2, 6);
    expect(check!.places.map(({ widthMm: w }) => Math.round(w / beam.pitchMm))).toEqual([4, 5, 3, 6, 2]);
    expect(check!.byWidth.map(({ share }) => share)).toEqual(
      [1, 2, 3, 4, 5, 6, 7].map((n) => expect.closeTo(n / 28)),
    );
  });

  test('a need without a limit is left out, and the rest keep their order', () => {
    const { land: _land, ...some } = limits;
    const codes = checkHold(createBitmap(40, 30), intaglio, { ...beam, limits: some }).map(
      ({ code }) => code,
    );
    expect(codes).toEqual(['small-mark', 'open-bite', 'open-bite-field', 'in-bevel']);
  });

  test('plates of one colour, and of one pixel, can be asked too', () => {
    for (const bit of [0, 1] as const) {
      for (const [wide, high] of [
        [1, 1],
        [33, 2],
        [200, 90],
      ] as const) {
        const map = createBitmap(wide, high);
        box(map, 0, 0, wide, high, bit);
        for (const check of checkHold(map, [...relief, ...intaglio], { ...beam, limits })) {
          expect(Number.isFinite(check.areaMm2 + check.share + check.count)).toBe(true);
        }
      }
    }
  });
});

describe('widths', () => {
  test('are those of the mark of one firing: 0.10 mm at 500 dpi', () => {
    // (n + 1) · pitch − spot and (n − 1) · pitch + spot, derived from the discs' union
    expect([1, 2, 3].map((n) => widthMm('kept', n, beam))).toEqual([
      expect.closeTo(0.0016),
      expect.closeTo(0.0524),
      expect.closeTo(0.1032),
    ]);
    expect([1, 2].map((n) => widthMm('etched', n, beam))).toEqual([
      expect.closeTo(0.1),
      expect.closeTo(0.1508),
    ]);
    expect(widthMm('kept', 1, { ...beam, spotMm: 0.15 })).toBe(0);
  });

  test('the fewest pixels that hold do, and one fewer does not', () => {
    for (const side of ['etched', 'kept'] as const) {
      for (const mm of [0.12, 0.2, 0.4, 1.6]) {
        const n = holdsFromPx(side, mm, beam);
        expect(widthMm(side, n, beam)).toBeGreaterThanOrEqual(mm - 1e-9);
        expect(widthMm(side, n - 1, beam)).toBeLessThan(mm);
        expect(widthMm(side, widthPx(side, mm, beam), beam)).toBeCloseTo(mm, 9);
      }
    }
  });

  test('the widest gap a depth serves', () => {
    expect(widestGapMm(1.4, (gap) => 0.07 * gap)).toBeCloseTo(20, 1);
    expect(widestGapMm(3, (gap) => Math.min(2, gap / 10))).toBe(Infinity);
  });
});
