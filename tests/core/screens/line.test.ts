import { describe, expect, test } from 'vitest';
import type { ScreenPlace } from '../../../src/core/screens/contract.ts';
import { line } from '../../../src/core/screens/line.ts';
import { coverage, flat, opener, placeOf, screenBands, settled } from './drive.ts';
import { inkOf, thinShare } from './openness.ts';

/** A plate whose spot is one pixel, so that widths in the pattern are widths on the plate. */
const bare = (given: Partial<ScreenPlace> = {}): ScreenPlace => placeOf({ spotPx: 1, ...given });

const achieved = (given: Record<string, unknown>, place = bare()): Record<string, number | string> => {
  const params = settled(line, given, place) as Parameters<typeof line.tones>[0];
  return { ...line.achieved!(params, place, line.build!(params, place)) };
};

/** A whole tile and some of the next, so that what is counted is one repeat exactly. */
const tileOf = (
  given: Record<string, unknown>,
  place: ScreenPlace,
): { widthPx: number; heightPx: number } => {
  const params = settled(line, given, place) as Parameters<typeof line.tones>[0];
  return line.build!(params, place);
};

const SETTINGS: [string, Record<string, unknown>][] = [
  ['as it comes', {}],
  ['level', { angleDeg: 0 }],
  ['level, a whole number of pixels', { angleDeg: 0, rulingLpi: 62.5 }],
  ['upright, coarse', { angleDeg: 90, rulingLpi: 12 }],
  ['a little off the level', { angleDeg: 1.5, rulingLpi: 60 }],
  ['as coarse as may be', { rulingLpi: 10, angleDeg: 67.5 }],
  ['17°', { angleDeg: 17, rulingLpi: 40 }],
  ['steep and fine', { angleDeg: 108.3, rulingLpi: 190 }],
  ['waved', { angleDeg: 0, waveLengthMm: 15, waveHeightMm: 2, rulingLpi: 45 }],
  ['waved, 30°', { angleDeg: 30, waveLengthMm: 10, waveHeightMm: 1.5 }],
];

describe.each(SETTINGS)('lines %s', (_, given) => {
  const place = bare();
  const { widthPx, heightPx } = tileOf(given, place);
  const open = opener(line, widthPx, given, place);

  test('cover exactly the tone over a repeat, within 0.1 %, from 2 to 98 %', () => {
    for (const tone of [0.02, 0.05, 0.137, 0.25, 0.4, 0.5, 0.617, 0.75, 0.9, 0.98]) {
      const share = coverage(screenBands(open, flat(Math.round(tone * 65535), widthPx, heightPx)));
      expect(Math.abs(share - tone), `${tone}`).toBeLessThan(0.001);
    }
  });

  test('have the ruling and angle asked for, within a thousandth and a tenth of a degree', () => {
    const told = achieved(given, place);
    const wanted = settled(line, given, place) as { rulingLpi: number; angleDeg: number };
    expect(Math.abs(Number(told['rulingLpi']) / wanted.rulingLpi - 1)).toBeLessThan(0.001);
    expect(Math.abs(Number(told['angleDeg']) - wanted.angleDeg)).toBeLessThan(0.1);
  });
});

/** Middles of the runs of ink in a column, in pixels. */
function middles(ink: readonly (readonly boolean[])[], x: number): number[] {
  const found: number[] = [];
  for (let y = 0, from = -1; y < ink.length; y++) {
    const here = ink[y]![x]!;
    if (here && from < 0) from = y;
    if (!here && from >= 0) {
      if (from > 0) found.push((from + y - 1) / 2);
      from = -1;
    }
  }
  return found;
}

const drawn = (given: Record<string, unknown>, tone: number, px: number, place = bare()): boolean[][] =>
  inkOf(screenBands(opener(line, px, given, place), flat(Math.round(tone * 65535), px)));

describe('where lines run', () => {
  test('level lines stand a period apart: 25 to an inch at 500 dpi is 20 px', () => {
    const ink = drawn({ angleDeg: 0, rulingLpi: 25 }, 0.3, 200);
    const places = middles(ink, 17);
    expect(places.length).toBeGreaterThanOrEqual(9);
    for (const [i, y] of places.slice(1).entries()) expect(y - places[i]!).toBe(20);
  });

  // counter-clockwise as seen: to the right is up
  test.each([17, 45, 120])('at %d° they climb to the right by its tangent', (angleDeg) => {
    const ink = drawn({ angleDeg, rulingLpi: 25 }, 0.3, 240);
    const steep = Math.abs(Math.tan((angleDeg * Math.PI) / 180)) > 1;
    const at = (x: number, y: number): boolean => (steep ? ink[x]![y]! : ink[y]![x]!);
    const slope = steep ? 1 / Math.tan((angleDeg * Math.PI) / 180) : Math.tan((angleDeg * Math.PI) / 180);
    const middleNear = (x: number, near: number): number => {
      let [from, to] = [Math.round(near), Math.round(near)];
      expect(at(x, from)).toBe(true);
      while (at(x, from - 1)) from--;
      while (at(x, to + 1)) to++;
      return (from + to) / 2;
    };
    const first = Array.from({ length: 240 }, (_, i) => i).find(
      (i) => i > 120 && at(120, i) && at(120, i + 2),
    )!;
    let place = middleNear(120, first + 1);
    const start = place;
    for (let x = 121; x <= 160; x++) place = middleNear(x, place);
    expect(Math.abs((start - place) / 40 - slope)).toBeLessThan(0.06);
  });

  test('the wave is as long and as high as asked', () => {
    const given = { angleDeg: 0, rulingLpi: 25, waveLengthMm: 10, waveHeightMm: 1.2 };
    expect(Math.abs(Number(achieved(given)['waveLengthMm']) - 10)).toBeLessThan(0.1);
    const ink = drawn(given, 0.4, 500);
    const path: number[] = [];
    let place = middles(ink, 0)[10]!;
    for (let x = 0; x < 400; x++) {
      const all = middles(ink, x);
      place = all.reduce((best, y) => (Math.abs(y - place) < Math.abs(best - place) ? y : best));
      path.push(place);
    }
    // 1.2 mm are 23.6 px; the line itself may swing by half a pixel to either side
    expect(Math.abs(Math.max(...path) - Math.min(...path) - 23.6)).toBeLessThan(1.5);
    for (let x = 0; x < 200; x++) expect(Math.abs(path[x]! - path[x + 197]!)).toBeLessThanOrEqual(2.5);
  });

  test('edges have no whiskers: along a level line its width changes by a pixel at most, and seldom', () => {
    const ink = drawn({ angleDeg: 0, rulingLpi: 48 }, 0.4, 512);
    let steps = 0;
    for (let y = 1; y < 511; y++) for (let x = 1; x < 511; x++) if (ink[y]![x] !== ink[y]![x - 1]) steps++;
    // some 49 lines with two edges each; a swing of 64 px takes an edge one pixel up and one down
    expect(steps / (49 * 2 * (512 / 64) * 2)).toBeLessThan(1.3);
    for (let x = 0; x < 512; x++) {
      const widths = new Set<number>();
      for (let y = 1, from = -1; y < 512; y++) {
        if (ink[y]![x] && !ink[y - 1]![x]) from = y;
        if (!ink[y]![x] && ink[y - 1]![x] && from > 0) widths.add(y - from);
      }
      expect(Math.max(...widths) - Math.min(...widths)).toBeLessThanOrEqual(1);
    }
  });
});

describe('hold', () => {
  test.each([
    [0, 50, 2, 2, 0],
    [45, 40, 3, 2, 0],
    [17, 40, 2, 3, 0],
    [72, 25, 4, 4, 0],
    [20, 25, 3, 3, 1.2],
  ])(
    '%d°, %d lpi: no mark under %d px, next to no land under %d px',
    (angleDeg, rulingLpi, minEtchedPx, minKeptPx, waveHeightMm) => {
      const place = bare({ minEtchedPx, minKeptPx });
      const given = { angleDeg, rulingLpi, waveLengthMm: waveHeightMm === 0 ? 0 : 8, waveHeightMm };
      const open = opener(line, 96, given, place);
      for (const tone of [0.03, 0.1, 0.2, 0.35, 0.5, 0.65, 0.8, 0.9, 0.97]) {
        const ink = inkOf(screenBands(open, flat(Math.round(tone * 65535), 96)));
        expect(thinShare(ink, true, minEtchedPx), `ink at ${tone}`).toBe(0);
        expect(thinShare(ink, false, minKeptPx), `paper at ${tone}`).toBe(0);
      }
    },
  );

  test('light tones break lines into dashes of the narrowest width, and dark ones break the gaps', () => {
    const place = bare({ minEtchedPx: 3, minKeptPx: 3 });
    const given = { angleDeg: 0, rulingLpi: 25 };
    for (const tone of [0.06, 0.94]) {
      const ink = drawn(given, tone, 200, place);
      const side = tone < 0.5;
      const rows = ink.filter((row) => row.some((here) => here === side));
      // each row that has the mark at all has breaks as well
      expect(rows.length).toBeGreaterThan(20);
      for (const row of rows) expect(row.some((here) => here !== side)).toBe(true);
    }
  });

  test('a ruling without room for line and gap, and a wave too steep, are refused with what is possible', () => {
    const place = bare({ minEtchedPx: 4, minKeptPx: 4 });
    expect(() => settled(line, { rulingLpi: 80 }, place)).toThrow(/no room for a line and a gap/);
    expect(() => settled(line, {}, place)).not.toThrow();
    const coarse = bare({ minEtchedPx: 30, minKeptPx: 30 });
    expect(() => settled(line, {}, coarse)).toThrow(
      expect.objectContaining({ hint: expect.stringMatching(/^No ruling/) }),
    );
    expect(() => settled(line, { waveLengthMm: 2, waveHeightMm: 1 }, bare())).toThrow(/too steeply/);
  });
});
