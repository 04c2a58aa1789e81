import { describe, expect, test } from 'vitest';
import type { ScreenPlace } from '../../../src/core/screens/contract.ts';
import { angleOf, brickOf, cellNearest, placeInCell } from '../../../src/core/screens/dot/cell.ts';
import { mixedRepeat } from '../../../src/core/screens/dot/mix.ts';
import { partsOf } from '../../../src/core/screens/dot/parts.ts';
import { inkRanks } from '../../../src/core/screens/dot/ranks.ts';
import { type Shape, shapeNames, spotFunctions } from '../../../src/core/screens/dot/spot-functions.ts';
import { dot } from '../../../src/core/screens/dot.ts';
import { indexIn } from '../../../src/core/screens/tiled.ts';
import { clusteredDots } from './clustered.ts';
import { coverage, flat, opener, placeOf, screenBands, screened, settled } from './drive.ts';
import { inkOf, thinShare } from './openness.ts';

/** A plate whose spot is one pixel, so that widths in the pattern are widths on the plate. */
const bare = (given: Partial<ScreenPlace> = {}): ScreenPlace => placeOf({ spotPx: 1, ...given });

const at = (dpi: number, given: Partial<ScreenPlace> = {}): ScreenPlace =>
  bare({ pxPerMm: dpi / 25.4, ...given });

const achieved = (given: Record<string, unknown>, place = bare()): Record<string, number | string> => {
  const params = settled(dot, given, place) as Parameters<typeof dot.tones>[0];
  return { ...dot.achieved!(params, place, dot.build!(params, place)) };
};

describe('cells, T. M. Holladay 1980', () => {
  // a, b, pixels, tones, angle, ruling at 500 dpi, brick; computed from the paper's rules
  test.each([
    [10, 0, 100, 101, 0, 50, 10, 10],
    [7, 7, 98, 99, 45, 50.508, 7, 14],
    [5, 5, 50, 51, 45, 70.711, 5, 10],
    [4, 4, 32, 33, 45, 88.388, 4, 8],
    [3, 1, 10, 11, 18.4349, 158.114, 1, 10],
    [4, 1, 17, 18, 14.0362, 121.268, 1, 17],
    [15, 4, 241, 242, 14.9314, 32.208, 1, 241],
    [11, 3, 130, 131, 15.2551, 43.853, 1, 130],
  ])('(%d, %d): %d px, %d tones, %f°, %f lpi', (a, b, pixels, tones, angle, lpi, high, long) => {
    expect(cellNearest(Math.hypot(a, b), angle)).toEqual({ a, b, pixels });
    expect(brickOf({ a, b, pixels })).toMatchObject({ widthPx: long, heightPx: high });
    const told = achieved({ rulingLpi: lpi, angleDeg: angle });
    expect(told).toMatchObject({ cellPx: pixels, tones, tonesAfterHold: tones });
    expect(told['rulingLpi']).toBeCloseTo(lpi, 3);
    expect(told['angleDeg']).toBeCloseTo(angle, 4);
  });

  test('300 dpi: (2, 2) is the "106 lpi" at 45° and (3, 2) the "85 lpi at 35°" of the trade (D. Lancaster, BYTE, July 1990)', () => {
    const fine = achieved({ rulingLpi: 106, angleDeg: 45 }, at(300));
    expect(fine['rulingLpi']).toBeCloseTo(106.066, 3);
    const nominal = achieved({ rulingLpi: 85, angleDeg: 35 }, at(300));
    expect(nominal['rulingLpi']).toBeCloseTo(83.205, 3);
    expect(nominal['angleDeg']).toBeCloseTo(33.69, 3);
  });

  test.each(clusteredDots.nearestCells)('$want_lpi lpi at $want_angle°, $dpi dpi: ($a, $b)', (row) => {
    const cell = cellNearest(row.dpi / row.want_lpi, row.want_angle);
    expect(cell).toMatchObject({ a: row.a, b: row.b });
    expect(angleOf(cell)).toBeCloseTo(row.angle, 9);
  });

  test('the brick repeats what the cell repeats, at any angle, and every pixel of it is another place of the cell', () => {
    for (const [periodPx, angleDeg] of [
      [5, 0],
      [6, 30],
      [5.8, 90],
      [7.1, 115],
      [9, 135],
      [6, 180],
    ] as const) {
      const cell = cellNearest(periodPx, angleDeg);
      const brick = brickOf(cell);
      const places = new Map<number, string>();
      for (let y = -20; y < 20; y++)
        for (let x = -20; x < 20; x++) {
          const place = Object.values(placeInCell(cell, x, y)).join();
          const index = indexIn(brick, x, y);
          if (!places.has(index)) places.set(index, place);
          expect(places.get(index)).toBe(place);
        }
      expect(new Set(places.values()).size).toBe(cell.pixels);
    }
  });
});

describe('spot functions, ISO 32000-1:2008, Table 128', () => {
  test('all 21, in the order of the table', () => {
    expect(shapeNames).toEqual(Object.keys(clusteredDots.values));
    for (const name of shapeNames) expect(spotFunctions[name].kind).toBe(name);
  });

  test.each(shapeNames)('%s at the twelve points', (name) => {
    const values = clusteredDots.points.map(([x, y]) => spotFunctions[name].at(x, y));
    for (const [i, value] of values.entries()) expect(value).toBeCloseTo(clusteredDots.values[name]![i]!, 9);
  });
});

/** Ink coverage at which the dots of a cell (side, 0) first join along its x and its y, pixels joined by their sides. */
function joins(side: number, shape: Shape): { x: number; y: number } {
  const ranks = inkRanks({ a: side, b: 0, pixels: side * side }, spotFunctions[shape]);
  const order = new Int32Array(ranks.length);
  for (let i = 0; i < ranks.length; i++) order[ranks[i]!] = i;
  // trees of joined pixels; each knows how many cells its parent lies to the right and below
  const parent = Int32Array.from(ranks, () => -1);
  const right = new Int32Array(ranks.length);
  const down = new Int32Array(ranks.length);
  const rootOf = (i: number): { root: number; x: number; y: number } => {
    let [root, x, y] = [i, 0, 0];
    for (; parent[root] !== root; root = parent[root]!) {
      x += right[root]!;
      y += down[root]!;
    }
    [parent[i], right[i], down[i]] = [root, x, y];
    return { root, x, y };
  };
  const found = { x: 0, y: 0 };
  for (const [count, i] of order.entries()) {
    parent[i] = i;
    const [px, py] = [i % side, Math.floor(i / side)];
    for (const [dx, dy] of [
      [1, 0],
      [-1, 0],
      [0, 1],
      [0, -1],
    ] as const) {
      const [nx, ny] = [px + dx, py + dy];
      const j = ((ny + side) % side) * side + ((nx + side) % side);
      if (parent[j] === -1) continue;
      const [one, other] = [rootOf(i), rootOf(j)];
      const x = one.x - other.x - Math.floor(nx / side);
      const y = one.y - other.y - Math.floor(ny / side);
      if (one.root !== other.root)
        [parent[other.root], right[other.root], down[other.root]] = [one.root, x, y];
      else {
        if (x !== 0) found.x ||= (count + 1) / ranks.length;
        if (y !== 0) found.y ||= (count + 1) / ranks.length;
      }
    }
    if (found.x > 0 && found.y > 0) break;
  }
  return found;
}

describe('where dots join', () => {
  const { numeric240, closedForm } = clusteredDots.joins;

  test.each(Object.entries(numeric240))(
    '%s as another program counted it on 240 × 240 px',
    (shape, wanted) => {
      const found = joins(240, shape as Shape);
      // a line begins two rows high; the count has it joined from its first pixel on
      if (shape !== 'Line') expect(Math.abs(found.x - wanted.x!)).toBeLessThan(0.005);
      expect(Math.abs(found.y - wanted.y!)).toBeLessThan(0.005);
    },
  );

  // a dot that bounds on the next joins a pixel early: 2/side of its width
  test.each(Object.entries(closedForm))('%s in closed form, on 420 × 420 px', (shape, wanted) => {
    const found = joins(420, shape as Shape);
    if (wanted.x !== undefined) expect(Math.abs(found.x - wanted.x)).toBeLessThan(0.005);
    if (wanted.y !== undefined) expect(Math.abs(found.y - wanted.y)).toBeLessThan(0.005);
  });
});

describe('tones', () => {
  test.each(shapeNames)('%s: a tone of k pixels inks exactly k of each cell, all N + 1 of them', (shape) => {
    for (const [rulingLpi, angleDeg, side] of [
      [62.5, 0, 8],
      [70.711, 45, 10],
      [121.268, 14.04, 17],
    ] as const) {
      const open = opener(dot, side, { rulingLpi, angleDeg, shape }, bare());
      const { cellPx } = achieved({ rulingLpi, angleDeg, shape }) as { cellPx: number };
      for (let k = 0; k <= cellPx; k++) {
        const share = coverage(screenBands(open, flat(Math.round((k / cellPx) * 65535), side)));
        expect(share * cellPx, `${k} of ${cellPx}`).toBeCloseTo(k, 9);
      }
    }
  });

  test('equals turn by fours about the middle: a round dot never leans by more than a pixel', () => {
    const cell = { a: 9, b: 0, pixels: 81 };
    const ranks = inkRanks(cell, spotFunctions.Round);
    let [u, v] = [0, 0];
    for (let rank = 0; rank < 40; rank++) {
      const place = placeInCell(cell, ranks.indexOf(rank) % 9, Math.floor(ranks.indexOf(rank) / 9));
      u += place.u;
      v += place.v;
      // one pixel beside the middle at most: its distance from there, 81 × 2 / 9 a pixel
      expect(Math.hypot(u, v)).toBeLessThanOrEqual(18 * 5 * Math.SQRT2);
      if (rank % 4 === 0) expect(Math.hypot(u, v)).toBeCloseTo(0, 9);
    }
  });

  test('highlights are dots of ink, whichever side is etched', () => {
    for (const etchedSide of ['ink', 'paper'] as const)
      expect(coverage(screened(dot, flat(6554, 28), {}, {}, bare({ etchedSide })))).toBeLessThan(0.15);
  });
});

describe('hold', () => {
  const cases: [Shape, number, number, number, number][] = [
    ['Round', 50, 45, 2, 2],
    ['Round', 40, 15, 2, 3],
    ['Ellipse', 32, 0, 3, 2],
    ['Diamond', 25, 30, 4, 4],
    ['DoubleDot', 20, 45, 3, 3],
    ['Cross', 30, 75, 2, 2],
    ['LineX', 40, 20, 2, 2],
    ['InvertedSimpleDot', 25, 45, 5, 2],
  ];

  test.each(cases)(
    '%s, %d lpi at %d°: no dot under %d px and no land under %d px in any tone',
    (...given) => {
      const [shape, rulingLpi, angleDeg, minEtchedPx, minKeptPx] = given;
      for (const etchedSide of ['ink', 'paper'] as const) {
        const place = bare({ minEtchedPx, minKeptPx, etchedSide });
        const open = opener(dot, 44, { rulingLpi, angleDeg, shape }, place);
        const drawn = new Map<number, boolean[][]>();
        for (let step = 0; step <= 20; step++) {
          const map = screenBands(open, flat(Math.round((step / 20) * 65535), 44));
          drawn.set(coverage(map), inkOf(map));
        }
        expect(drawn.size).toBeGreaterThan(6);
        for (const ink of drawn.values()) {
          const etched = etchedSide === 'ink';
          expect(thinShare(ink, etched, minEtchedPx)).toBe(0);
          expect(thinShare(ink, !etched, minKeptPx)).toBe(0);
        }
      }
    },
  );

  test('unless given the ruling is three of the narrowest marks, the same in lpi at any resolution', () => {
    for (const dpi of [254, 508, 1016]) {
      const px = (0.2 * dpi) / 25.4;
      const { rulingLpi } = settled(dot, {}, at(dpi, { minEtchedPx: px, minKeptPx: px }));
      expect(rulingLpi).toBeCloseTo(25.4 / 0.6, 9);
    }
  });

  test('a spot that is allowed for makes marks wider and lands narrower by itself', () => {
    const known = { allowsForSpot: true, spotPx: 3, minEtchedPx: 3, minKeptPx: 2 };
    const open = opener(dot, 56, { rulingLpi: 40 }, bare(known));
    const light = inkOf(screenBands(open, flat(400, 56)));
    expect(light.flat().some((ink) => ink)).toBe(true);
    expect(thinShare(inkOf(screenBands(open, flat(52000, 56))), false, 4)).toBe(0);
  });

  test.each([
    [300, 500, 1, 1],
    [120, 500, 4, 4],
  ])(
    '%d lpi at %d dpi with %d px marks is refused, with a ruling that is possible',
    (rulingLpi, dpi, minEtchedPx, minKeptPx) => {
      const place = at(dpi, { minEtchedPx, minKeptPx });
      const attempt = (lpi: number) => () => settled(dot, { rulingLpi: lpi }, place);
      let hint = '';
      try {
        attempt(rulingLpi)();
      } catch (error) {
        hint = (error as { hint: string }).hint;
      }
      const possible = Number(/Ask for (\d+) lpi/.exec(hint)?.[1]);
      expect(possible).toBeGreaterThan(0);
      expect(attempt(possible)).not.toThrow();
    },
  );
});

describe('tones between two sizes that hold', () => {
  /** The repeat of the mixture, and a part of the plate of any size. */
  const openAt = (given: Record<string, unknown>, place: ScreenPlace) => {
    const params = settled(dot, given, place) as Parameters<typeof dot.tones>[0];
    const tables = dot.build!(params, place);
    const draw = (tone: number, widthPx: number, heightPx: number) => {
      const open = (firstRow: number) => dot.open(params, { ...place, widthPx, firstRow }, tables);
      return screenBands(open, flat(Math.round(tone * 65535), widthPx, heightPx));
    };
    const cell = cellNearest((25.4 * place.pxPerMm) / params.rulingLpi!, params.angleDeg);
    return { draw, repeat: mixedRepeat(cell) };
  };

  test.each([
    ['Round', 50, 0, 3, 3],
    ['Round', 55, 15, 3, 3],
    ['Round', 62.5, 45, 2, 3],
    ['Diamond', 41, 45, 3, 3],
    ['Line', 55, 15, 3, 3],
    ['LineX', 40, 20, 2, 2],
    ['DoubleDot', 20, 45, 3, 3],
  ] as const)('%s, %d lpi at %d°: each comes out to a tenth of a point, and holds', (...given) => {
    const [shape, rulingLpi, angleDeg, minEtchedPx, minKeptPx] = given;
    const place = bare({ minEtchedPx, minKeptPx });
    const { draw, repeat } = openAt({ shape, rulingLpi, angleDeg }, place);
    for (let i = 0; i <= 97; i++) {
      const share = coverage(draw(i / 97, repeat.widthPx, repeat.heightPx));
      expect(Math.abs(share - i / 97), `tone ${i} of 97`).toBeLessThan(0.001);
      if (i % 8 !== 3) continue;
      const ink = inkOf(draw(i / 97, 72, 72));
      expect(thinShare(ink, true, minEtchedPx)).toBe(0);
      expect(thinShare(ink, false, minKeptPx)).toBe(0);
    }
  });

  test('cells are of two neighbouring sizes, and a size of all cells is drawn as such', () => {
    const place = bare({ minEtchedPx: 3, minKeptPx: 3 });
    const { draw } = openAt({ rulingLpi: 50, angleDeg: 0 }, place);
    /** Pixels of ink in the cells of a tone; dots stand in their middles, holes in their corners. */
    const sizesAt = (tone: number, cornerPx: number): number[] => {
      const ink = inkOf(draw(tone, 170, 170));
      const sizes = new Array<number>(256).fill(0);
      for (let y = 0; y < 160; y++)
        for (let x = 0; x < 160; x++)
          if (ink[y + cornerPx]![x + cornerPx]) sizes[16 * Math.floor(y / 10) + Math.floor(x / 10)]!++;
      return [...new Set(sizes)].sort((a, b) => a - b);
    };
    // the smallest dot that holds is of 3 × 3 px, a tone of 9 in a cell of 100
    expect(sizesAt(0.05, 0)).toEqual([0, 9]);
    expect(sizesAt(0.09, 0)).toEqual([9]);
    expect(sizesAt(0.95, 5)).toEqual([91, 100]);
  });

  test('told are the tones of a cell that hold, and the widest step left', () => {
    const place = bare({ minEtchedPx: 3, minKeptPx: 3 });
    const told = achieved({ rulingLpi: 50, angleDeg: 0 }, place);

    expect(told['tonesAfterHold']).toBeLessThan(told['tones'] as number);
    expect(told['widestStepPercent']).toBeLessThan(0.1);
    // dots of this cell join where lands are no wider than they must be: mixed, some would be narrower
    const tight = achieved({ rulingLpi: 62.5, angleDeg: 0 }, bare({ minEtchedPx: 4, minKeptPx: 4 }));
    expect(tight['widestStepPercent']).toBeGreaterThan(10);
  });

  test('cells as large as they come are mixed of fewer', () => {
    const cell = cellNearest(120, 15);
    expect(mixedRepeat(cell)).toMatchObject(
      brickOf({ a: 4 * cell.a, b: 4 * cell.b, pixels: 16 * cell.pixels }),
    );
  });
});

describe('pieces of a step', () => {
  test('two bridges and a dot lie where they begin, whatever the repeat cuts; a line has no beginning', () => {
    // 4 × 3, side by side:  0 1 1 0 / 2 0 0 2 / 3 3 3 3
    const steps = Int32Array.from([0, 1, 1, 0, 2, 0, 0, 2, 3, 3, 3, 3]);
    const { part, dx, dy, most } = partsOf(steps, { widthPx: 4, heightPx: 3, shiftPx: 0 });
    expect(most).toBe(2);
    const at = (x: number, y: number): number[] => [4 * y + x].flatMap((i) => [part[i]!, dx[i]!, dy[i]!]);
    expect([at(0, 0), at(3, 0)]).toEqual([
      [0, 0, 0],
      [0, -1, 0],
    ]);
    expect([at(1, 0), at(2, 0)]).toEqual([
      [0, 0, 0],
      [0, 1, 0],
    ]);
    expect([at(1, 1), at(2, 1)]).toEqual([
      [1, 0, 0],
      [1, 1, 0],
    ]);
    expect([at(0, 1), at(3, 1)]).toEqual([
      [0, 0, 0],
      [0, -1, 0],
    ]);
    for (let x = 0; x < 4; x++) expect(at(x, 2)).toEqual([0, 0, 0]);
  });
});
