/*
 * Line art has both extremes close together and hardly anything between them but the soft edge of a stroke. The two
 * figures are our own, from drawings, lettering and photographs: 0.2 % and 1.5 % of a photograph's cells pass.
 */
const LEAST_RANGE = 190 / 255;
const MOST_BETWEEN = 36 / 255;
/** Cells to either side of the one in question. */
const REACH = 2;
const WINDOW = 2 * REACH + 1;

export interface CellShape {
  readonly widthPx: number;
  readonly cellXPx: number;
  readonly cellYPx: number;
  /** Darkest and lightest tone asked for. */
  readonly darkestTone: number;
  readonly lightestTone: number;
}

/** Tells line art from pictures, cell by cell, as tone rows run past. */
export interface LineCells {
  /** By how many rows the verdict comes behind the last row of a cell. */
  readonly delayRows: number;
  /** Takes tone row y; rows in order, the first a whole multiple of the cell's height. */
  row(tone: Uint16Array, y: number): void;
  /** Index in `verdicts` of the first cell of a cell row: 1 where it belongs to line art. */
  at(cellRow: number): number;
  readonly verdicts: Uint8Array;
}

const powerFrom = (rows: number): number => 1 << (32 - Math.clz32(rows - 1));

/**
 * A cell is line art where, over the 5 × 5 cells round it, the range of tones is at least 190/255 of what is asked for
 * and the cells' mean distance from the nearer extreme at most 36/255. The outermost cells are repeated beyond the
 * sides. `keepRows` cell rows of verdicts stay readable.
 */
export function openLineCells(shape: CellShape, keepRows: number): LineCells {
  const { widthPx, cellXPx, cellYPx, darkestTone, lightestTone } = shape;
  const cells = Math.ceil(widthPx / cellXPx);
  const whole = Math.floor(widthPx / cellXPx);
  const low = lightestTone < darkestTone ? lightestTone : 0;
  const full = darkestTone - low;
  const solid = full * cellXPx * cellYPx;
  const leastRange = full * LEAST_RANGE;
  const mostBetween = solid * WINDOW * WINDOW * MOST_BETWEEN;

  const padded = cells + 2 * REACH;
  const lows = new Int32Array(padded);
  const highs = new Int32Array(padded);
  const sums = new Int32Array(padded);
  const mask = powerFrom(WINDOW) - 1;
  const rangeLows = new Int32Array(cells * (mask + 1));
  const rangeHighs = new Int32Array(cells * (mask + 1));
  const between = new Int32Array(cells * (mask + 1));
  const keepMask = powerFrom(keepRows) - 1;
  const verdicts = new Uint8Array(cells * (keepMask + 1));
  const at = (cellRow: number): number => (cellRow & keepMask) * cells;

  const gatherCell = (
    tone: Uint16Array,
    from: number,
    count: number,
    weightLast: number,
    to: number,
  ): void => {
    let least = lows[to]!;
    let most = highs[to]!;
    let sum = sums[to]!;
    for (let x = from; x < from + count; x++) {
      const t = tone[x]! - low;
      const v = t < 0 ? 0 : t;
      if (v < least) least = v;
      if (v > most) most = v;
      sum += v;
    }
    const last = tone[from + count - 1]! - low;
    lows[to] = least;
    highs[to] = most;
    sums[to] = sum + (last < 0 ? 0 : last) * weightLast;
  };
  const gather = (tone: Uint16Array): void => {
    for (let c = 0; c < whole; c++) gatherCell(tone, c * cellXPx, cellXPx, 0, c + REACH);
    const left = widthPx - whole * cellXPx;
    if (left > 0) gatherCell(tone, whole * cellXPx, left, cellXPx - left, whole + REACH);
  };
  /** The same for cells two pixels wide, by far the most frequent: 2 px a step, no inner loop. */
  const gatherPairs = (tone: Uint16Array): void => {
    for (let c = 0, x = 0; c < whole; c++, x += 2) {
      let a = tone[x]! - low;
      let b = tone[x + 1]! - low;
      if (a < 0) a = 0;
      if (b < 0) b = 0;
      const to = c + REACH;
      const less = a < b ? a : b;
      const more = a < b ? b : a;
      if (less < lows[to]!) lows[to] = less;
      if (more > highs[to]!) highs[to] = more;
      sums[to] = sums[to]! + a + b;
    }
    if (whole < cells) gatherCell(tone, widthPx - 1, 1, 1, whole + REACH);
  };

  /** Repeats the outermost cells, then looks across each window. */
  const across = (cellRow: number): void => {
    for (let c = REACH; c < cells + REACH; c++) {
      const sum = sums[c]!;
      sums[c] = sum < solid - sum ? sum : Math.max(0, solid - sum);
    }
    for (const values of [lows, highs, sums]) {
      values.fill(values[REACH]!, 0, REACH);
      values.fill(values[cells + REACH - 1]!, cells + REACH);
    }
    const to = (cellRow & mask) * cells;
    for (let c = 0; c < cells; c++) {
      let least = lows[c]!;
      let most = highs[c]!;
      for (let i = c + 1; i < c + WINDOW; i++) {
        if (lows[i]! < least) least = lows[i]!;
        if (highs[i]! > most) most = highs[i]!;
      }
      rangeLows[to + c] = least;
      rangeHighs[to + c] = most;
      between[to + c] = sums[c]! + sums[c + 1]! + sums[c + 2]! + sums[c + 3]! + sums[c + 4]!;
    }
  };
  const judge = (cellRow: number): void => {
    const to = at(cellRow);
    const a = ((cellRow - 2) & mask) * cells;
    const b = ((cellRow - 1) & mask) * cells;
    const c = (cellRow & mask) * cells;
    const d = ((cellRow + 1) & mask) * cells;
    const e = ((cellRow + 2) & mask) * cells;
    for (let i = 0; i < cells; i++) {
      const sum = between[a + i]! + between[b + i]! + between[c + i]! + between[d + i]! + between[e + i]!;
      verdicts[to + i] = 0;
      if (sum > mostBetween) continue;
      const least = Math.min(
        rangeLows[a + i]!,
        rangeLows[b + i]!,
        rangeLows[c + i]!,
        rangeLows[d + i]!,
        rangeLows[e + i]!,
      );
      const most = Math.max(
        rangeHighs[a + i]!,
        rangeHighs[b + i]!,
        rangeHighs[c + i]!,
        rangeHighs[d + i]!,
        rangeHighs[e + i]!,
      );
      if (full > 0 && most - least >= leastRange) verdicts[to + i] = 1;
    }
  };

  const row = (tone: Uint16Array, y: number): void => {
    const cellRow = Math.floor(y / cellYPx);
    if (y === cellRow * cellYPx) {
      lows.fill(65535);
      highs.fill(0);
      sums.fill(0);
    }
    if (cellXPx === 2) gatherPairs(tone);
    else gather(tone);
    if (y !== (cellRow + 1) * cellYPx - 1) return;
    across(cellRow);
    judge(cellRow - REACH);
  };
  return { delayRows: REACH * cellYPx, row, at, verdicts };
}
