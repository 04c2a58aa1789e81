/** Slow and obvious versions of what clearing plates are drawn by. */
import fc from 'fast-check';
import { type Bitmap, getBit } from '../../../src/core/bitmap.ts';
import { fromTest } from '../hold/slow.ts';

/** Distance between two pixels as squares, edge to edge, or of their middles. */
export const apart = (dx: number, dy: number, between: 'edges' | 'middles'): number =>
  between === 'edges'
    ? Math.hypot(Math.max(0, Math.abs(dx) - 1), Math.max(0, Math.abs(dy) - 1))
    : Math.hypot(dx, dy);

/** Pixels of a bitmap that are set, as [x, y]. */
export function pixels(map: Bitmap, bit: 0 | 1): [number, number][] {
  const found: [number, number][] = [];
  for (let y = 0; y < map.heightPx; y++)
    for (let x = 0; x < map.widthPx; x++) if (getBit(map, x, y) === bit) found.push([x, y]);
  return found;
}

/** The pixels just outside a bitmap. */
export function frame({ widthPx, heightPx }: Bitmap): [number, number][] {
  const found: [number, number][] = [];
  for (let y = -1; y <= heightPx; y++)
    for (let x = -1; x <= widthPx; x++)
      if (x < 0 || y < 0 || x === widthPx || y === heightPx) found.push([x, y]);
  return found;
}

/** Open ground with a few round, square and single-pixel things standing in it. */
export const grounds = (most: number) =>
  fc
    .record({
      widthPx: fc.integer({ min: 1, max: most }),
      heightPx: fc.integer({ min: 1, max: most }),
      posts: fc.array(fc.tuple(fc.nat(most), fc.nat(most), fc.integer({ min: 0, max: 6 })), { maxLength: 5 }),
      walls: fc.array(fc.tuple(fc.nat(most), fc.nat(most), fc.nat(most)), { maxLength: 3 }),
    })
    .map(({ widthPx, heightPx, posts, walls }) =>
      fromTest(
        widthPx,
        heightPx,
        (x, y) =>
          !posts.some(([cx, cy, r]) => (x - cx) ** 2 + (y - cy) ** 2 <= r * r) &&
          !walls.some(([wx, wy, long]) => x === wx && y >= wy && y < wy + long),
      ),
    );
