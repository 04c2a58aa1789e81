import type { Loop, PointMm } from './contract.ts';

/** How much of each cell of a grid is inside, 0…255, row by row. */
export interface Coverage {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly values: Uint8Array;
}

/** Half of a cell; no whole number, so that no value lies on the line. */
const LEVEL = 127.5;

/** Beyond the grid nothing is inside. */
const valueAt = ({ widthPx, heightPx, values }: Coverage, x: number, y: number): number =>
  x < 0 || y < 0 || x >= widthPx || y >= heightPx ? 0 : values[y * widthPx + x]!;

/** Which corners of a square are inside, as bits: top left 1, top right 2, bottom right 4, bottom left 8. */
function caseOf(grid: Coverage, x: number, y: number): number {
  const a = valueAt(grid, x, y);
  const b = valueAt(grid, x + 1, y);
  const c = valueAt(grid, x + 1, y + 1);
  const d = valueAt(grid, x, y + 1);
  return (a > LEVEL ? 1 : 0) | (b > LEVEL ? 2 : 0) | (c > LEVEL ? 4 : 0) | (d > LEVEL ? 8 : 0);
}

/** Sides of a square, clockwise from the top: where the line leaves it. */
const TOP = 0;
const RIGHT = 1;
const BOTTOM = 2;
const LEFT = 3;

/** Side by which the line leaves a square, the inside on its right, by the corners inside; −1 where there is no line, or where it hangs on the way in. */
const LEAVES = [
  -1,
  LEFT,
  TOP,
  LEFT,
  RIGHT,
  -1,
  TOP,
  LEFT,
  BOTTOM,
  BOTTOM,
  -1,
  BOTTOM,
  RIGHT,
  RIGHT,
  TOP,
  -1,
] as const;

/** Two corners opposite each other are inside: joined if the middle of the square is, by the mean of its corners. */
function leavesSaddle(grid: Coverage, x: number, y: number, corners: number, enters: number): number {
  const sum =
    valueAt(grid, x, y) + valueAt(grid, x + 1, y) + valueAt(grid, x + 1, y + 1) + valueAt(grid, x, y + 1);
  const isJoined = sum > 4 * LEVEL;
  if (corners === 5) return (enters === TOP) === isJoined ? RIGHT : LEFT;
  return (enters === LEFT) === isJoined ? TOP : BOTTOM;
}

/** Where the line crosses between two neighbouring values, as a share of the way. */
const crossing = (from: number, to: number): number => (LEVEL - from) / (to - from);

/** The point where the line crosses a side of a square whose top left corner is the middle of cell (x, y). */
function pointOn(grid: Coverage, x: number, y: number, side: number): PointMm {
  const [left, top] = [x + 0.5, y + 0.5];
  if (side === TOP || side === BOTTOM) {
    const row = side === TOP ? y : y + 1;
    const t = crossing(valueAt(grid, x, row), valueAt(grid, x + 1, row));
    return { x: left + t, y: row + 0.5 };
  }
  const column = side === LEFT ? x : x + 1;
  const t = crossing(valueAt(grid, column, y), valueAt(grid, column, y + 1));
  return { x: column + 0.5, y: top + t };
}

/** Follows one line from the square that it enters by its top until it is there again. */
function follow(grid: Coverage, startX: number, startY: number, seen: Uint8Array): PointMm[] {
  const points: PointMm[] = [];
  let x = startX;
  let y = startY;
  let enters: number = TOP;
  do {
    if (enters === TOP) seen[y * grid.widthPx + x] = 1;
    points.push(pointOn(grid, x, y, enters));
    const corners = caseOf(grid, x, y);
    const plain = LEAVES[corners]!;
    const leaves = plain >= 0 ? plain : leavesSaddle(grid, x, y, corners, enters);
    if (leaves === TOP) y--;
    else if (leaves === BOTTOM) y++;
    else x += leaves === RIGHT ? 1 : -1;
    enters = (leaves + 2) % 4;
  } while (x !== startX || y !== startY || enters !== TOP);
  return points;
}

/**
 * The lines around everything that is more than half inside, holes too, by marching squares (W. E. Lorensen and
 * H. E. Cline 1987, in two dimensions): between the middles of cells the value runs straight, so an edge that was
 * drawn by area is found to a fraction of a cell. In cells from the top left corner of the grid.
 */
export function trace(grid: Coverage): Loop[] {
  const { widthPx, heightPx } = grid;
  const seen = new Uint8Array(widthPx * heightPx);
  const loops: Loop[] = [];
  for (let y = 0; y < heightPx; y++)
    for (let x = 0; x < widthPx; x++) {
      // every line goes down somewhere: the inside is then at its left hand on the page, the outside at the right
      if (seen[y * widthPx + x] || valueAt(grid, x, y) < LEVEL || valueAt(grid, x + 1, y) > LEVEL) continue;
      loops.push(follow(grid, x, y, seen));
    }
  return loops;
}
