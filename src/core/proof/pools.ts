import type { PlaneSize } from './box.ts';
import { openDistances } from './distances.ts';
import { rememberedIn, type ShareRows } from './rows.ts';

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
 * as in Felzenszwalb & Huttenlocher 2012), and looked for no farther than they matter. `plain` does without WebAssembly: the same ink.
 */
export function wiped(
  etched: ShareRows,
  { widthPx, heightPx }: PlaneSize,
  wiping: Wiping,
  plain = false,
): ShareRows {
  const { holdsCells, solid, plateTone } = wiping;
  const reach = Math.ceil(2 * holdsCells + 0.5);
  const holds = Math.floor(holdsCells + 0.5);
  const wallBelow = solid * (1 - WALL);
  const room = BLOCK_ROWS + 2 * reach;
  // wall beyond both ends of a row, so that nothing need be asked there
  const rowCells = widthPx + 2 * reach;
  // a block and its surroundings, of which the next one wants a part
  const distances = openDistances(room, rowCells, widthPx, wallBelow, reach, plain);
  const { down } = distances;
  const shares = rememberedIn(etched, distances.shares);
  // only where a row has a wide place, and as far about it as its ink is told by, is there anything to look for
  const parts = new Uint8Array((rowCells >>> PART_SHIFT) + 1);
  let spans: readonly Span[] = [];
  const search = openSearch(reach, holds, holdsCells);
  const factors = new Float32Array(widthPx);
  /** First row of the block whose distances are known. */
  let loaded = Number.NaN;

  /** Each cell's distance from the nearest wall in its column, of a block. */
  const load = (first: number): void => {
    loaded = first;
    parts.fill(0);
    for (let y = first; y < Math.min(heightPx, first + BLOCK_ROWS); y++)
      eachWide(shares(y), wallBelow, 2 * holds, 2 * reach, parts);
    spans = spansOf(parts, reach, widthPx);
    down.fill(0, reach * rowCells, (reach + BLOCK_ROWS) * rowCells);
    for (let i = 0; i < room; i++) {
      const y = first - reach + i;
      const at = i * rowCells + reach;
      const row = y < 0 || y >= heightPx ? null : shares(y);
      for (const { from, to } of spans) {
        if (row === null) down.fill(0, at + from, at + to);
        else {
          if (i === 0) down.fill(reach, at + from, at + to);
          distances.fromAbove(row, i === 0 ? at : at - rowCells, at, from, to);
        }
      }
    }
    for (let i = room - 2; i >= reach; i--)
      for (const { from, to } of spans) distances.fromBelow(i * rowCells + reach, from, to);
  };

  return (y, into) => {
    const row = shares(y);
    // most rows of a screened picture have a wall near every cell
    if (!eachWide(row, wallBelow, 2 * holds, 0, null)) {
      wipe(row, plateTone, into);
      return;
    }
    if (!(y >= loaded && y < loaded + BLOCK_ROWS)) load(y);
    if (search(down, (y - loaded + reach) * rowCells + reach, spans, factors))
      wipeWide(row, factors, plateTone, into);
    else wipe(row, plateTone, into);
  };
}

/**
 * Are there more than `cells` cells side by side that are no wall? Marks their parts, and those of `about` cells behind them,
 * in `parts`; null only asks. A wall is looked for from the end of as many cells as may be free: it tells how far to go on.
 */
function eachWide(
  row: Float32Array,
  wallBelow: number,
  cells: number,
  about: number,
  parts: Uint8Array | null,
): boolean {
  let any = false;
  for (let free = 0, end = cells; end < row.length; end = free + cells) {
    let x = end;
    while (x >= free && row[x]! >= wallBelow) x--;
    if (x >= free) {
      free = x + 1;
      continue;
    }
    if (parts === null) return true;
    any = true;
    let to = end + 1;
    while (to < row.length && row[to]! >= wallBelow) to++;
    parts.fill(1, free >>> PART_SHIFT, ((to - 1 + about) >>> PART_SHIFT) + 1);
    free = to + 1;
  }
  return any;
}

/** Cells of a row, from one to before another. */
interface Span {
  readonly from: number;
  readonly to: number;
}

/** Rows are looked through in parts of 64 cells. */
const PART_SHIFT = 6;

/** Spans of cells whose parts are set; parts begin `before` cells in front of the row. */
function spansOf(parts: Uint8Array, before: number, widthPx: number): Span[] {
  const spans: Span[] = [];
  for (let i = 0; i < parts.length; i++) {
    if (parts[i] === 0) continue;
    const first = i;
    while (i < parts.length && parts[i] !== 0) i++;
    const from = Math.max(0, (first << PART_SHIFT) - before);
    spans.push({ from, to: Math.min(widthPx, (i << PART_SHIFT) - before) });
  }
  return spans;
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
 * `at`; those outside `spans` keep all. False, and nothing written, where all of them do.
 */
type Search = (down: Uint16Array, at: number, spans: readonly Span[], factors: Float32Array) => boolean;

function openSearch(reach: number, holds: number, holdsCells: number): Search {
  const most = reach + 1;
  /** By the square of the distance, from the middle of the cell to the middle of the wall's cell. */
  const factorOf = Float32Array.from({ length: most * most + 1 }, (_, square) =>
    kept(Math.sqrt(square) - 0.5, holdsCells),
  );
  return (down, at, spans, factors) => {
    let widest = 0;
    for (const { from, to } of spans)
      for (let x = from; x < to; x++) {
        const straight = down[at + x]!;
        if (straight > widest) widest = straight;
      }
    if (widest <= holds) return false;
    factors.fill(1);
    for (const { from, to } of spans) searchSpan(down, at, from, to, reach, holds, factorOf, factors);
    return true;
  };
}

function searchSpan(
  down: Uint16Array,
  at: number,
  from: number,
  to: number,
  reach: number,
  holds: number,
  factorOf: Float32Array,
  factors: Float32Array,
): void {
  // columns with a wall within reach, the last one passed and the next one to come; those outside the span count as such
  let passed = from - 1;
  let next = -1;
  for (let x = from; x < to; x++) {
    const straight = down[at + x]!;
    if (straight <= reach) passed = x;
    if (straight <= holds) continue;
    let dx = 1;
    if (straight > reach) {
      if (next <= x) for (next = x + 1; next < to && down[at + next]! > reach; ) next++;
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
}
