import { brickOf, type Cell, placeInCell } from './cell.ts';
import type { SpotFunction } from './spot-functions.ts';

/** Heights that differ by less are one height: what sines differ by between places that mirror each other. */
const SAME_HEIGHT = 1e-9;

/**
 * A number that is larger the later a pixel among its equals should turn: opposite quadrants of the dot one after the
 * other, all four at one angle before those at the next, so that the dot stays balanced about its centre.
 */
function turn(u: number, v: number): number {
  const angle = Math.atan2(v, u) / (Math.PI / 2) + 2;
  const quadrant = Math.floor(angle) & 3;
  return (angle - Math.floor(angle)) * 4 + [0, 2, 1, 3][quadrant]! * 1e-6;
}

/**
 * Order in which the pixels of a cell turn to ink, 0 … N − 1, each once, for the brick of the cell row by row: the
 * highest of the spot function first; of equals the one nearest to the middle of the cell, then by turns round it.
 */
export function inkRanks(cell: Cell, spot: SpotFunction): Int32Array {
  const { pixels } = cell;
  const { widthPx } = brickOf(cell);
  const height = new Float64Array(pixels);
  const distance = new Float64Array(pixels);
  const turns = new Float64Array(pixels);
  for (let i = 0; i < pixels; i++) {
    const { u, v } = placeInCell(cell, i % widthPx, Math.floor(i / widthPx));
    height[i] = Math.round(spot.at(u / pixels, v / pixels) / SAME_HEIGHT);
    distance[i] = u * u + v * v;
    turns[i] = turn(u, v);
  }
  const order = Int32Array.from({ length: pixels }, (_, i) => i).sort(
    (i, j) => height[j]! - height[i]! || distance[i]! - distance[j]! || turns[i]! - turns[j]! || i - j,
  );
  const ranks = new Int32Array(pixels);
  for (let rank = 0; rank < pixels; rank++) ranks[order[rank]!] = rank;
  return ranks;
}
