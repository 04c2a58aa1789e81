import type { Bitmap } from '../../../src/core/bitmap.ts';

/** Pixels as booleans, row by row. */
export const inkOf = (map: Bitmap): boolean[][] =>
  Array.from({ length: map.heightPx }, (_, y) =>
    Array.from(
      { length: map.widthPx },
      (_, x) => (map.data[y * map.strideBytes + (x >> 3)]! & (0x80 >> (x & 7))) !== 0,
    ),
  );

/** Offsets of a stone: a square, and from 4 px on the octagon whose slanted sides take 1 − 1/√2 of the width. */
export function stones(px: number): [number, number][][] {
  const square = (side: number): [number, number][] =>
    Array.from({ length: side * side }, (_, i) => [i % side, Math.floor(i / side)]);
  const slant = px < 4 ? 0 : Math.round(px * (1 - Math.SQRT1_2));
  if (slant === 0) return [square(px)];
  const grown = new Map<string, [number, number]>();
  for (const [x, y] of square(px - 2 * slant))
    for (let i = 0; i <= slant; i++)
      for (let k = 0; k <= slant; k++) grown.set(`${x + i - k},${y + i + k}`, [x + i - k, y + i + k]);
  return [square(px), [...grown.values()]];
}

/** Share of one side's pixels, a margin off the edge, that no stone of a width lying wholly inside that side covers; one place after the other. */
export function thinShare(ink: readonly (readonly boolean[])[], side: boolean, px: number): number {
  const [width, height] = [ink[0]!.length, ink.length];
  const covered = ink.map((row) => row.map(() => false));
  for (const stone of stones(px))
    for (let y = -2 * px; y < height; y++)
      for (let x = -2 * px; x < width; x++)
        // beyond the edge the drawing goes on, no one knows how: taken as this side
        if (stone.every(([dx, dy]) => (ink[y + dy]?.[x + dx] ?? side) === side))
          for (const [dx, dy] of stone)
            if (covered[y + dy]?.[x + dx] === false) covered[y + dy]![x + dx] = true;
  let [all, thin] = [0, 0];
  for (let y = 2 * px; y < height - 2 * px; y++)
    for (let x = 2 * px; x < width - 2 * px; x++) {
      if (ink[y]![x] !== side) continue;
      all++;
      if (!covered[y]![x]) thin++;
    }
  return all === 0 ? 0 : thin / all;
}
