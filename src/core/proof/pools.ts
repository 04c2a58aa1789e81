import type { PlaneSize } from './box.ts';
import { remembered, type ShareRows } from './rows.ts';

/** How a plate is wiped; lengths in cells of the plane. */
export interface Wiping {
  /** From a wall this far inwards all ink stays. */
  readonly holdsCells: number;
  /** Etched share of a cell fired all over: below 1 where a small spot leaves ridges, which hold no ink. */
  readonly solid: number;
  /** Share of ink that wiping leaves on the ground, 0…1. */
  readonly plateTone: number;
}

/** Rows that distances are worked out for at a time, from the first one asked for that has a wide place. */
const BLOCK_ROWS = 32;

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
 * Ink on a wiped plate, from its etched shares: full near a wall, pale in the middle of what is wider than twice
 * `holdsCells`, a film on the ground. What lies off the plate is wall. Distances are exact (columns first, then rows,
 * as in Felzenszwalb & Huttenlocher 2012), and looked for no farther than they matter.
 */
export function wiped(etched: ShareRows, { widthPx, heightPx }: PlaneSize, wiping: Wiping): ShareRows {
  const { holdsCells, solid, plateTone } = wiping;
  const reach = Math.ceil(2 * holdsCells + 0.5);
  const holds = Math.floor(holdsCells + 0.5);
  const wallBelow = solid * (1 - WALL);
  const room = BLOCK_ROWS + 2 * reach;
  // wall beyond both ends of a row, so that nothing need be asked there
  const rowCells = widthPx + 2 * reach;
  // a block and its surroundings, of which the next one wants a part
  const shares = remembered(etched, widthPx, room);
  const down = new Uint16Array(room * rowCells);
  const search = openSearch(reach, holds, holdsCells);
  const factors = new Float32Array(widthPx);
  /** First row of the block whose distances are known. */
  let loaded = Number.NaN;

  /** Each cell's distance from the nearest wall in its column, of a block. */
  const load = (first: number): void => {
    loaded = first;
    for (let i = 0; i < room; i++) {
      const y = first - reach + i;
      const at = i * rowCells + reach;
      if (y < 0 || y >= heightPx) {
        down.fill(0, at, at + widthPx);
        continue;
      }
      if (i === 0) down.fill(reach, at, at + widthPx);
      fromAbove(shares(y), wallBelow, down, i === 0 ? at : at - rowCells, at, reach);
    }
    for (let i = room - 2; i >= reach; i--) fromBelow(down, i * rowCells, (i + 1) * rowCells);
  };

  return (y, into) => {
    const row = shares(y);
    // most rows of a screened picture have a wall near every cell
    if (!hasWide(row, wallBelow, 2 * holds)) {
      wipe(row, plateTone, into);
      return;
    }
    if (!(y >= loaded && y < loaded + BLOCK_ROWS)) load(y);
    if (search(down, (y - loaded + reach) * rowCells + reach, factors))
      wipeWide(row, factors, plateTone, into);
    else wipe(row, plateTone, into);
  };
}

/** True where more than `cells` cells in a row are no wall. */
function hasWide(row: Float32Array, wallBelow: number, cells: number): boolean {
  // a wall among as many cells as may be free is looked for from their end: the nearest one tells how far to go on
  let free = 0;
  for (let end = cells; end < row.length; end = free + cells) {
    let x = end;
    while (x >= free && row[x]! >= wallBelow) x--;
    if (x < free) return true;
    free = x + 1;
  }
  return false;
}

/** Carries distances from the wall down by one row, no farther than a cell beyond `reach`. */
function fromAbove(
  row: Float32Array,
  wallBelow: number,
  down: Uint16Array,
  above: number,
  at: number,
  reach: number,
): void {
  for (let x = 0; x < row.length; x++) {
    const before = down[above + x]!;
    down[at + x] = row[x]! < wallBelow ? 0 : before > reach ? before : before + 1;
  }
}

/** Likewise up by one row. */
function fromBelow(down: Uint16Array, at: number, below: number): void {
  for (let x = 0, end = below - at; x < end; x++) {
    const nearer = down[below + x]! + 1;
    if (down[at + x]! > nearer) down[at + x] = nearer;
  }
}

function wipe(shares: Float32Array, plateTone: number, into: Float32Array): void {
  for (let x = 0; x < into.length; x++) {
    const share = shares[x]!;
    into[x] = share + plateTone * (1 - share);
  }
}

function wipeWide(shares: Float32Array, factors: Float32Array, plateTone: number, into: Float32Array): void {
  for (let x = 0; x < into.length; x++) {
    const share = shares[x]!;
    into[x] = share * factors[x]! + plateTone * (1 - share);
  }
}

/**
 * Writes what share of their ink the cells of a row keep, from their distances within their columns, which begin at
 * `at`; false, and nothing written, where all of them keep all.
 */
type Search = (down: Uint16Array, at: number, factors: Float32Array) => boolean;

function openSearch(reach: number, holds: number, holdsCells: number): Search {
  const most = reach + 1;
  /** By the square of the distance, from the middle of the cell to the middle of the wall's cell. */
  const factorOf = Float32Array.from({ length: most * most + 1 }, (_, square) =>
    kept(Math.sqrt(square) - 0.5, holdsCells),
  );
  return (down, at, factors) => {
    let widest = 0;
    for (let x = 0; x < factors.length; x++) {
      const straight = down[at + x]!;
      if (straight > widest) widest = straight;
    }
    if (widest <= holds) return false;
    // columns with a wall within reach, the last one passed and the next one to come
    let passed = -1;
    let next = -1;
    for (let x = 0; x < factors.length; x++) {
      const straight = down[at + x]!;
      if (straight <= reach) passed = x;
      if (straight <= holds) {
        factors[x] = 1;
        continue;
      }
      let dx = 1;
      if (straight > reach) {
        if (next <= x) {
          const end = factors.length;
          for (next = x + 1; next < end && down[at + next]! > reach; ) next++;
        }
        // those between are as far from any wall as this one
        const back = x - passed;
        const ahead = next - x;
        dx = back < ahead ? back : ahead;
      }
      let best = straight * straight;
      for (let square = dx * dx; dx <= reach && square < best; dx++, square = dx * dx) {
        const left = down[at + x - dx]!;
        const right = down[at + x + dx]!;
        const nearer = left < right ? left : right;
        const found = nearer * nearer + square;
        if (found < best) best = found;
      }
      factors[x] = factorOf[best]!;
    }
    return true;
  };
}
