import type { PlaneSize } from './box.ts';
import type { ShareRows } from './rows.ts';

/** How wiping treats a wide etched area; lengths in cells of the plane. */
export interface Pools {
  /** From a wall this far inwards all ink stays. */
  readonly holdsCells: number;
  /** Etched share of a cell fired all over: below 1 where a small spot leaves ridges, which hold no ink. */
  readonly solid: number;
}

/** Rows that distances are worked out for at a time, from the first one asked for. */
const BLOCK_ROWS = 64;

/** Ground in a cell, as a share, from which on it is a wall that ink stands against (from memory). */
const WALL = 1 / 8;

/** Ink that a wiped open bite keeps in the middle, as a share (from memory; what stays is uneven). */
const LEFT_BEHIND = 0.3;

/** Share of its ink that an etched cell keeps, by its distance from the wall: all, then ever less, then a remainder. */
const kept = (cells: number, holdsCells: number): number =>
  cells <= holdsCells
    ? 1
    : Math.max(LEFT_BEHIND, 1 - ((1 - LEFT_BEHIND) * (cells - holdsCells)) / holdsCells);

/**
 * Ink held in the etched cells of a wiped plate, beside their etched shares as they came: full near a wall, pale in the middle of what is wider than twice
 * `holdsCells`. `etched` are the cells' etched shares; what lies off the plate is wall. Distances are exact
 * (columns first, then rows, as in Felzenszwalb & Huttenlocher 2012), and looked for no farther than they matter.
 */
export function wiped(
  etched: ShareRows,
  { widthPx, heightPx }: PlaneSize,
  pools: Pools,
): { readonly etched: ShareRows; readonly held: ShareRows } {
  const { holdsCells, solid } = pools;
  const reach = Math.ceil(2 * holdsCells + 0.5);
  const wallBelow = solid * (1 - WALL);
  const room = BLOCK_ROWS + 2 * reach;
  const shares = new Float32Array(room * widthPx);
  const down = new Uint16Array(room * widthPx);
  /** First row of the block that is loaded. */
  let loaded = Number.NaN;

  /** Etched shares of a block and its surroundings, and each cell's distance from the nearest wall in its column. */
  const load = (first: number): void => {
    const top = first - reach;
    // the surroundings of two blocks in a row lie over each other
    const moved = first - loaded;
    const known = moved > 0 && moved < room ? room - moved : 0;
    if (known > 0) shares.copyWithin(0, moved * widthPx);
    loaded = first;
    for (let i = 0; i < room; i++) {
      const y = top + i;
      const at = i * widthPx;
      if (y < 0 || y >= heightPx) {
        down.fill(0, at, at + widthPx);
        continue;
      }
      const row = shares.subarray(at, at + widthPx);
      if (i >= known) etched(y, row);
      for (let x = 0; x < widthPx; x++) {
        const before = i === 0 ? reach : down[at - widthPx + x]!;
        down[at + x] = row[x]! < wallBelow ? 0 : Math.min(reach, before) + 1;
      }
    }
    for (let at = down.length - widthPx - 1; at >= 0; at--) {
      if (down[at]! > down[at + widthPx]! + 1) down[at] = down[at + widthPx]! + 1;
    }
  };

  const startOf = (y: number): number => {
    if (!(y >= loaded && y < loaded + BLOCK_ROWS)) load(y);
    return (y - loaded + reach) * widthPx;
  };

  const held: ShareRows = (y, into) => {
    const at = startOf(y);
    for (let x = 0; x < widthPx; x++) {
      const share = shares[at + x]!;
      const straight = down[at + x]!;
      if (straight - 0.5 <= holdsCells) {
        into[x] = share;
        continue;
      }
      let best = straight * straight;
      const far = Math.min(straight - 1, reach);
      for (let dx = 1; dx <= far && dx * dx < best; dx++) {
        const left = x - dx < 0 ? 0 : down[at + x - dx]!;
        const right = x + dx >= widthPx ? 0 : down[at + x + dx]!;
        const nearer = left < right ? left : right;
        best = Math.min(best, nearer * nearer + dx * dx);
      }
      // from the middle of the cell to the side of the wall's cell
      into[x] = share * kept(Math.sqrt(best) - 0.5, holdsCells);
    }
  };

  return {
    held,
    etched: (y, into) => {
      const at = startOf(y);
      into.set(shares.subarray(at, at + widthPx));
    },
  };
}
