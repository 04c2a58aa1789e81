import fc from 'fast-check';
import { expect, test } from 'vitest';
import { type Bitmap, createBitmap, getBit, setBit } from '../../src/core/bitmap.ts';
import type { Trim } from '../../src/core/screens/contract.ts';
import { seamsOf, trimReach, trimRows } from '../../src/core/trim.ts';

type Picture = (x: number, y: number) => boolean;

/** Pixel by pixel, straight from the definitions, on a plate whose outermost pixels go on for ever. */
function slowly(map: Bitmap, { marksPx, landsPx, withOctagons, erodePx }: Trim): string {
  const at = (v: number, end: number): number => Math.min(end - 1, Math.max(0, v));
  const plate: Picture = (x, y) => getBit(map, at(x, map.widthPx), at(y, map.heightPx)) === 1;
  const inAll = (p: Picture, x: number, y: number, w: number, h: number): boolean => {
    for (let j = 0; j < h; j++) for (let i = 0; i < w; i++) if (!p(x + i, y + j)) return false;
    return true;
  };
  /** A square without its corners, as far as a regular octagon of that width lacks them. */
  const isOctagon = (i: number, j: number, w: number): boolean => {
    const cut = w < 4 ? 0 : Math.round(w * (1 - Math.SQRT1_2));
    return Math.min(i, w - 1 - i) + Math.min(j, w - 1 - j) >= cut;
  };
  const inOctagon = (p: Picture, x: number, y: number, w: number): boolean => {
    for (let j = 0; j < w; j++)
      for (let i = 0; i < w; i++) if (isOctagon(i, j, w) && !p(x + i, y + j)) return false;
    return true;
  };
  const opened =
    (p: Picture, w: number, h: number): Picture =>
    (x, y) => {
      for (let j = 0; j < h; j++)
        for (let i = 0; i < w; i++) {
          if (inAll(p, x - i, y - j, w, h)) return true;
          if (withOctagons && isOctagon(i, j, w) && inOctagon(p, x - i, y - j, w)) return true;
        }
      return false;
    };
  const not =
    (p: Picture): Picture =>
    (x, y) =>
      !p(x, y);
  const remembered = (p: Picture): Picture => {
    const known = new Map<string, boolean>();
    return (x, y) => {
      const key = `${x},${y}`;
      const value = known.get(key) ?? p(x, y);
      known.set(key, value);
      return value;
    };
  };
  const marks = remembered(opened(plate, marksPx.x, marksPx.y));
  const lands = remembered(opened(not(marks), landsPx.x, landsPx.y));
  let text = '';
  for (let y = 0; y < map.heightPx; y++)
    for (let x = 0; x < map.widthPx; x++) text += inAll(not(lands), x, y, erodePx.x, erodePx.y) ? '1' : '0';
  return text;
}

const textOf = (map: Bitmap): string => {
  let text = '';
  for (let y = 0; y < map.heightPx; y++) for (let x = 0; x < map.widthPx; x++) text += getBit(map, x, y);
  return text;
};

function trimmed(map: Bitmap, trim: Trim, bandRows: number): string {
  const copy = { ...map, data: map.data.slice() };
  const starts = Array.from({ length: Math.ceil(map.heightPx / bandRows) }, (_, i) => i * bandRows);
  const bands = starts.map((from) => [from, Math.min(map.heightPx, from + bandRows)] as const);
  const seams = bands.map(([from, to]) => seamsOf(copy, trim, from, to));
  for (const [i, [from, to]] of [...bands.entries()].reverse()) trimRows(copy, trim, from, to, seams[i]!);
  return textOf(copy);
}

const trims = fc.record({
  marksPx: fc.record({ x: fc.integer({ min: 1, max: 4 }), y: fc.integer({ min: 1, max: 4 }) }),
  landsPx: fc.record({ x: fc.integer({ min: 1, max: 4 }), y: fc.integer({ min: 1, max: 4 }) }),
  erodePx: fc.record({ x: fc.integer({ min: 1, max: 4 }), y: fc.integer({ min: 1, max: 4 }) }),
});

/** Drawings with marks and lands of a few pixels: random runs, some rows repeated. */
const drawings = fc
  .tuple(fc.integer({ min: 1, max: 70 }), fc.integer({ min: 1, max: 14 }), fc.integer({ min: 0, max: 1e6 }))
  .map(([widthPx, heightPx, seed]) => {
    const map = createBitmap(widthPx, heightPx);
    let state = seed + 1;
    const next = (): number => {
      state = (Math.imul(state, 1103515245) + 12345) >>> 0;
      return state >>> 16;
    };
    for (let y = 0; y < heightPx; y++)
      for (let x = 0; x < widthPx; x++) {
        const above: 0 | 1 = y > 0 ? getBit(map, x, y - 1) : 0;
        const left: 0 | 1 = x > 0 ? getBit(map, x - 1, y) : 1;
        const dice = next() % 8;
        setBit(map, x, y, dice < 3 ? left : dice < 6 ? above : dice === 6 ? 0 : 1);
      }
    return map;
  });

test('equals the definitions, however the plate is banded', () => {
  fc.assert(
    fc.property(drawings, trims, fc.integer({ min: 1, max: 9 }), (map, trim, bandRows) => {
      const wanted = slowly(map, trim);
      expect(trimmed(map, trim, map.heightPx)).toBe(wanted);
      expect(trimmed(map, trim, bandRows)).toBe(wanted);
    }),
    { seed: 1, numRuns: 150 },
  );
});

const octagons = fc
  .tuple(fc.integer({ min: 1, max: 7 }), fc.integer({ min: 1, max: 7 }), fc.integer({ min: 1, max: 2 }))
  .map(
    ([marks, lands, erode]): Trim => ({
      marksPx: { x: marks, y: marks },
      landsPx: { x: lands, y: lands },
      withOctagons: true,
      erodePx: { x: erode, y: erode },
    }),
  );

/** Round and slanting shapes, some of them cut by the edges. */
const rounds = fc
  .tuple(
    fc.integer({ min: 8, max: 70 }),
    fc.integer({ min: 8, max: 30 }),
    fc.array(fc.tuple(fc.nat(70), fc.nat(30), fc.integer({ min: 2, max: 12 }), fc.boolean()), {
      minLength: 1,
      maxLength: 10,
    }),
  )
  .map(([widthPx, heightPx, shapes]) => {
    const map = createBitmap(widthPx, heightPx);
    for (const [cx, cy, size, isDisc] of shapes)
      for (let y = 0; y < heightPx; y++)
        for (let x = 0; x < widthPx; x++) {
          const inside = isDisc
            ? Math.hypot(x - cx, y - cy) < size / 2
            : Math.abs(x - cx + y - cy) < size / 2;
          if (inside) setBit(map, x, y, getBit(map, x, y) ? 0 : 1);
        }
    return map;
  });

test('with octagons it equals the definitions as well', () => {
  fc.assert(
    fc.property(
      fc.oneof(rounds, drawings),
      octagons,
      fc.integer({ min: 1, max: 9 }),
      (map, trim, bandRows) => {
        const wanted = slowly(map, trim);
        expect(trimmed(map, trim, map.heightPx)).toBe(wanted);
        expect(trimmed(map, trim, bandRows)).toBe(wanted);
      },
    ),
    { seed: 2, numRuns: 60 },
  );
});

test('blocks of rows inside a band leave no seam', () => {
  const map = createBitmap(40, 300);
  for (let y = 0; y < 300; y++)
    for (let x = 0; x < 40; x++) setBit(map, x, y, ((x * 7 + y * 3 + ((x * y) >> 3)) >> 2) & 1 ? 1 : 0);
  const trim: Trim = { marksPx: { x: 3, y: 3 }, landsPx: { x: 2, y: 3 }, erodePx: { x: 2, y: 2 } };
  expect(trimmed(map, trim, 300)).toBe(slowly(map, trim));
});

test('a whole block becomes its upper left corner: what the spots of the pulses fill', () => {
  const map = createBitmap(9, 9);
  for (const y of [3, 4]) for (const x of [4, 5]) setBit(map, x, y, 1);
  const trim: Trim = { marksPx: { x: 2, y: 2 }, landsPx: { x: 2, y: 2 }, erodePx: { x: 2, y: 2 } };
  trimRows(map, trim, 0, 9, seamsOf(map, trim, 0, 9));
  expect(textOf(map)).toBe(`${'0'.repeat(9 * 3 + 4)}1${'0'.repeat(81 - 9 * 3 - 5)}`);
  expect(trimReach(trim)).toEqual({ upRows: 2, downRows: 3 });
});
