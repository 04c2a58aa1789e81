import { evenOrder } from '../grain/point-order.ts';
import { type HeldSteps, heldSteps, type Narrowest } from '../held.ts';
import { indexIn, modulo, type Repeat } from '../tiled.ts';
import { brickOf, type Cell } from './cell.ts';
import { partsOf } from './parts.ts';

/** Cells along each side of the square over which two steps are mixed: from so many on, its repeating is not seen. */
const MOST_CELLS_ACROSS = 16;

/** Pixels of the square: larger ones take long to mix, and large cells have many tones of their own. */
const MOST_PX = 1 << 18;

const cellsAcross = ({ pixels }: Cell): number =>
  Math.max(1, Math.min(MOST_CELLS_ACROSS, Math.floor(Math.sqrt(MOST_PX / pixels))));

/** After how many pixels a mixture of steps of such cells comes again. */
export function mixedRepeat(cell: Cell): Repeat {
  const across = cellsAcross(cell);
  return brickOf({ a: cell.a * across, b: cell.b * across, pixels: cell.pixels * across * across });
}

/** Place, 0 … across² − 1, of each cell of a square in an order whose every beginning is spread evenly. */
function cellOrder(across: number): Uint32Array {
  const cells = across * across;
  const x = Float64Array.from({ length: cells }, (_, i) => (i % across) + 0.5);
  const y = Float64Array.from({ length: cells }, (_, i) => Math.floor(i / across) + 0.5);
  return evenOrder({ side: across, x, y });
}

/**
 * Tones between two steps of a cell: some cells of a square of them are a step ahead of the others, one cell more with every tone,
 * evenly spread. Each connected piece of what a step adds turns as a whole, in the cell where it begins: where dots or
 * lands join, that is a bridge between two of them, and cut in two it would not hold. Where cells of two steps
 * meet, all is held anew, and mixtures that do not hold are left out. `held` are the steps of one cell, over its brick.
 */
export function mixedSteps(cell: Cell, held: HeldSteps, narrowest: Narrowest): HeldSteps {
  const { a, b, pixels } = cell;
  const across = cellsAcross(cell);
  const cells = across * across;
  const brick = brickOf(cell);
  const repeat = mixedRepeat(cell);
  const { part, dx, dy, most } = partsOf(held.steps, brick);
  const order = cellOrder(across);
  const ranks = new Int32Array(repeat.widthPx * repeat.heightPx);
  for (let y = 0, i = 0; y < repeat.heightPx; y++)
    for (let x = 0; x < repeat.widthPx; x++, i++) {
      const inCell = indexIn(brick, x, y);
      const right = 2 * (x - dx[inCell]!) + 1;
      const down = 2 * (y - dy[inCell]!) + 1;
      const column = modulo(Math.floor((a * right - b * down) / (2 * pixels)), across);
      const row = modulo(Math.floor((-a * down - b * right) / (2 * pixels)), across);
      const turn = held.steps[inCell]! * cells + order[row * across + column]!;
      ranks[i] = turn * most + part[inCell]!;
    }
  return heldSteps(ranks, (held.inkPx.length - 1) * cells * most, repeat, narrowest);
}
