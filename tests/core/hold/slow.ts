import { type Bitmap, createBitmap, getBit, setBit } from '../../../src/core/bitmap.ts';
import { octagonFor } from '../../../src/core/hold/opening.ts';
import type { PlateSide } from '../../../src/core/hold/words.ts';

/** Slow and obvious versions of the measures, pixel by pixel. */

export type Test = (x: number, y: number) => boolean;

/** Draws '#' as 1; rows of equal length. */
export function draw(rows: readonly string[]): Bitmap {
  const map = createBitmap(rows[0]?.length ?? 0, rows.length);
  rows.forEach((row, y) => {
    [...row].forEach((c, x) => {
      setBit(map, x, y, c === '#' ? 1 : 0);
    });
  });
  return map;
}

export function fromTest(widthPx: number, heightPx: number, test: Test): Bitmap {
  const map = createBitmap(widthPx, heightPx);
  for (let y = 0; y < heightPx; y++) for (let x = 0; x < widthPx; x++) if (test(x, y)) setBit(map, x, y, 1);
  return map;
}

export const onSide = (map: Bitmap, side: PlateSide, outside: boolean): Test => {
  const want = side === 'etched' ? 1 : 0;
  return (x, y) =>
    x < 0 || y < 0 || x >= map.widthPx || y >= map.heightPx ? outside : getBit(map, x, y) === want;
};

/** Offsets of a square, and of an octagon, whose bounding box starts at (0, 0). */
function stones(widthPx: number): [number, number][][] {
  const square: [number, number][] = [];
  for (let y = 0; y < widthPx; y++) for (let x = 0; x < widthPx; x++) square.push([x, y]);
  const { slant } = octagonFor(widthPx);
  const cut = (x: number, y: number): boolean => x + y >= slant;
  const e = widthPx - 1;
  const octagon = square.filter(([x, y]) => cut(x, y) && cut(e - x, y) && cut(x, e - y) && cut(e - x, e - y));
  return [square, octagon];
}

/** Pixels of a side that no stone lying within it covers, as "x,y". */
export function thinPixels(map: Bitmap, side: PlateSide, widthPx: number, outside = false): Set<string> {
  const inside = onSide(map, side, outside);
  const thin = new Set<string>();
  for (let y = 0; y < map.heightPx; y++)
    for (let x = 0; x < map.widthPx; x++) if (inside(x, y)) thin.add(`${x},${y}`);
  for (const stone of stones(widthPx)) {
    for (let y = -widthPx; y < map.heightPx + widthPx; y++) {
      for (let x = -widthPx; x < map.widthPx + widthPx; x++) {
        if (!stone.every(([dx, dy]) => inside(x + dx, y + dy))) continue;
        for (const [dx, dy] of stone) thin.delete(`${x + dx},${y + dy}`);
      }
    }
  }
  return thin;
}

/** Groups of connected pixels, by flooding. */
export function floods(pixels: Set<string>, neighbours: 4 | 8): string[][] {
  const left = new Set(pixels);
  const groups: string[][] = [];
  for (const start of pixels) {
    if (!left.delete(start)) continue;
    const group = [start];
    for (let i = 0; i < group.length; i++) {
      const [x = 0, y = 0] = group[i]!.split(',').map(Number);
      for (let dy = -1; dy <= 1; dy++) {
        for (let dx = -1; dx <= 1; dx++) {
          if (neighbours === 4 && dx !== 0 && dy !== 0) continue;
          const next = `${x + dx},${y + dy}`;
          if (left.delete(next)) group.push(next);
        }
      }
    }
    groups.push(group);
  }
  return groups;
}
