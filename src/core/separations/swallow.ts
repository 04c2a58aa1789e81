import type { Labels } from './contract.ts';

/** What was too small to print and went to the colour beside it, for each label. */
export interface Swallowed {
  readonly count: Int32Array;
  readonly areaPx: Int32Array;
}

/** What is too small to stay a label of its own. */
export interface SwallowOptions {
  /** Width of the smallest mark, in pixels. */
  readonly smallestPx: number;
  /** Labels whose lines may be as thin as they like: only their specks are swallowed. */
  readonly lines: readonly number[];
}

/** Runs of one label along rows, joined into pieces; a piece is known by the number of one of its runs. */
interface Runs {
  readonly count: number;
  /** First run of each row; one entry more than rows. */
  readonly first: Int32Array;
  readonly from: Int32Array;
  /** First column beyond. */
  readonly to: Int32Array;
  readonly label: Uint8Array;
  readonly parent: Int32Array;
}

const LABELS = 256;

function findRuns({ widthPx, heightPx, data }: Labels): Runs {
  const first = new Int32Array(heightPx + 1);
  let count = 0;
  for (let y = 0, at = 0; y < heightPx; y++) {
    count++;
    at++;
    for (let x = 1; x < widthPx; x++, at++) if (data[at] !== data[at - 1]) count++;
    first[y + 1] = count;
  }
  const from = new Int32Array(count);
  const to = new Int32Array(count);
  const label = new Uint8Array(count);
  const parent = new Int32Array(count);
  for (let y = 0, run = -1; y < heightPx; y++) {
    const row = y * widthPx;
    for (let x = 0; x < widthPx; x++) {
      if (x > 0 && data[row + x] === data[row + x - 1]) continue;
      if (x > 0) to[run] = x;
      run++;
      from[run] = x;
      label[run] = data[row + x]!;
      parent[run] = run;
    }
    to[run] = widthPx;
  }
  return { count, first, from, to, label, parent };
}

function rootOf(parent: Int32Array, run: number): number {
  let at = run;
  while (parent[at] !== at) {
    parent[at] = parent[parent[at]!]!;
    at = parent[at]!;
  }
  return at;
}

/** Calls for every two runs of neighbouring rows that share columns, or touch at a corner (then `shared` is 0). */
function eachPair(
  { first, from, to }: Runs,
  heightPx: number,
  visit: (above: number, below: number, shared: number) => void,
): void {
  for (let y = 1; y < heightPx; y++) {
    let above = first[y - 1]!;
    const lastAbove = first[y]!;
    for (let below = lastAbove; below < first[y + 1]!; below++) {
      while (above < lastAbove && to[above]! < from[below]!) above++;
      for (let at = above; at < lastAbove && from[at]! <= to[below]!; at++)
        visit(at, below, Math.min(to[at]!, to[below]!) - Math.max(from[at]!, from[below]!));
    }
  }
}

/** Joins runs of one label that touch, corners included, and measures each piece at its root. */
function joinPieces(runs: Runs, heightPx: number) {
  const { count, parent, label, from, to } = runs;
  // pixels of each run that have the same label above them: the others begin a run along the column
  const covered = new Int32Array(count);
  eachPair(runs, heightPx, (above, below, shared) => {
    if (label[above] !== label[below]) return;
    covered[below] = covered[below]! + shared;
    const [a, b] = [rootOf(parent, above), rootOf(parent, below)];
    if (a < b) parent[b] = a;
    else parent[a] = b;
  });
  const area = new Int32Array(count);
  const rowRuns = new Int32Array(count);
  const columnRuns = new Int32Array(count);
  for (let run = 0; run < count; run++) {
    const root = rootOf(parent, run);
    const length = to[run]! - from[run]!;
    area[root] = area[root]! + length;
    rowRuns[root] = rowRuns[root]! + 1;
    columnRuns[root] = columnRuns[root]! + length - covered[run]!;
  }
  return { area, rowRuns, columnRuns };
}

/** A ribbon is as wide as its area over its runs (see core/hold); a disc of the smallest width comes out at 0.55 of it. */
const THIN_SHARE = 0.5;

/** For each run that is the root of a piece too small to print: 1 + its number among those; else 0. */
function smallPieces(runs: Runs, heightPx: number, { smallestPx, lines }: SwallowOptions) {
  const { area, rowRuns, columnRuns } = joinPieces(runs, heightPx);
  const leastArea = (Math.PI / 4) * smallestPx * smallestPx;
  const drawsLines = new Uint8Array(LABELS);
  for (const label of lines) drawsLines[label] = 1;
  const small = new Int32Array(runs.count);
  let count = 0;
  for (let run = 0; run < runs.count; run++) {
    if (runs.parent[run] !== run) continue;
    const width = area[run]! / Math.hypot(rowRuns[run]!, columnRuns[run]!);
    const isThin = !drawsLines[runs.label[run]!] && width < THIN_SHARE * smallestPx;
    if (isThin || area[run]! < leastArea) small[run] = ++count;
  }
  return { small, count, area };
}

/** Length of the border that each small piece shares with each label of pieces that stay. */
function bordersOf(runs: Runs, heightPx: number, small: Int32Array, count: number, labels: number) {
  const { first, parent, label } = runs;
  const borders = new Int32Array(count * labels);
  const add = (one: number, other: number, length: number): void => {
    const number = small[rootOf(parent, one)]!;
    if (number === 0 || small[rootOf(parent, other)] !== 0 || label[one] === label[other]) return;
    const at = (number - 1) * labels + label[other]!;
    borders[at] = borders[at]! + length;
  };
  for (let y = 0; y < heightPx; y++)
    for (let run = first[y]! + 1; run < first[y + 1]!; run++) {
      add(run, run - 1, 1);
      add(run - 1, run, 1);
    }
  eachPair(runs, heightPx, (above, below, shared) => {
    if (shared <= 0) return;
    add(above, below, shared);
    add(below, above, shared);
  });
  return borders;
}

function longest(borders: Int32Array, number: number, labels: number): number {
  let best = -1;
  let length = 0;
  for (let label = 0; label < labels; label++)
    if (borders[number * labels + label]! > length) {
      length = borders[number * labels + label]!;
      best = label;
    }
  return best;
}

/** One round: every small piece beside one that stays goes over to it. Returns how many small pieces are still there. */
function round(labels: Labels, options: SwallowOptions, tally: Swallowed): { left: number; gone: number } {
  const { widthPx, heightPx, data } = labels;
  const runs = findRuns(labels);
  const { small, count, area } = smallPieces(runs, heightPx, options);
  if (count === 0) return { left: 0, gone: 0 };
  let most = 0;
  for (let run = 0; run < runs.count; run++) most = Math.max(most, runs.label[run]!);
  const borders = bordersOf(runs, heightPx, small, count, most + 1);
  let gone = 0;
  for (let y = 0; y < heightPx; y++)
    for (let run = runs.first[y]!; run < runs.first[y + 1]!; run++) {
      const root = rootOf(runs.parent, run);
      if (small[root] === 0) continue;
      const to = longest(borders, small[root]! - 1, most + 1);
      if (to < 0) continue;
      data.fill(to, y * widthPx + runs.from[run]!, y * widthPx + runs.to[run]!);
      if (root !== run) continue;
      const own = runs.label[run]!;
      gone++;
      tally.count[own] = tally.count[own]! + 1;
      tally.areaPx[own] = tally.areaPx[own]! + area[root]!;
    }
  return { left: count - gone, gone };
}

/**
 * Gives every piece of a label that is smaller than a disc of the smallest width, or a ribbon thinner than half of it, to
 * the label with which it shares the longest border; in place. Pieces with none but small ones beside them wait for those.
 */
export function swallowSmall(labels: Labels, options: SwallowOptions): Swallowed {
  const tally = { count: new Int32Array(LABELS), areaPx: new Int32Array(LABELS) };
  for (;;) {
    const { left, gone } = round(labels, options, tally);
    if (left === 0 || gone === 0) return tally;
  }
}
