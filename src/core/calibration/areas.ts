import { PAPER, type Reduced } from './reduced.ts';

/** A dark area of the small copy: its pixels, middle, and spread along and across its longest direction. */
export interface Area {
  readonly n: number;
  readonly x: number;
  readonly y: number;
  /** Variances along the longest and shortest direction, in square pixels. */
  readonly long: number;
  readonly short: number;
  /** Longest direction, in radians from x to y. */
  readonly angle: number;
  readonly touchesEdge: boolean;
}

/** Sums over the pixels of one area. */
interface Sums {
  n: number;
  x: number;
  y: number;
  xx: number;
  yy: number;
  xy: number;
  touchesEdge: boolean;
}

function root(parents: Int32Array, label: number): number {
  let at = label;
  while (parents[at]! !== at) {
    parents[at] = parents[parents[at]!]!;
    at = parents[at]!;
  }
  return at;
}

const longer = (numbers: Int32Array): Int32Array<ArrayBuffer> => {
  const more = new Int32Array(numbers.length * 2);
  more.set(numbers);
  return more;
};

/** Adds the run of pixels `from` … `to` of row y. */
function addRun(into: Sums, from: number, to: number, y: number): void {
  const n = to - from;
  const mid = (from + to) / 2;
  into.n += n;
  into.x += n * mid;
  into.y += n * (y + 0.5);
  into.xx += n * mid * mid + (n * (n * n - 1)) / 12;
  into.yy += n * (y + 0.5) ** 2;
  into.xy += n * mid * (y + 0.5);
}

function areaOf({ n, x, y, xx, yy, xy, touchesEdge }: Sums): Area {
  const [mx, my] = [x / n, y / n];
  // A pixel is a square, not a point: 1/12 each way
  const [vx, vy, c] = [xx / n - mx * mx + 1 / 12, yy / n - my * my + 1 / 12, xy / n - mx * my];
  const spread = Math.hypot((vx - vy) / 2, c);
  const middle = (vx + vy) / 2;
  return {
    n,
    x: mx,
    y: my,
    long: middle + spread,
    short: Math.max(0, middle - spread),
    angle: Math.atan2(2 * c, vx - vy) / 2,
    touchesEdge,
  };
}

/** Starts and ends of the runs of a row that are darker than a level; gives how many numbers were written. */
function darkRuns(tone: Uint16Array, row: number, widthPx: number, level: number, runs: Int32Array): number {
  let count = 0;
  let dark = false;
  for (let x = 0; x < widthPx; x++) {
    if (tone[row + x]! < level === dark) continue;
    dark = !dark;
    runs[count++] = x;
  }
  if (dark) runs[count++] = widthPx;
  return count;
}

/** Runs of all rows with the areas they belong to. */
interface Runs {
  readonly count: number;
  /** From, to and row of each. */
  readonly places: Int32Array;
  /** Of each the run whose area it is part of; `root` finds the one that stands for all. */
  readonly parents: Int32Array;
}

/** Dark runs of each row joined to those above that share a side with them. */
function joinedRuns({ widthPx, heightPx, tone }: Reduced, level: number): Runs {
  let count = 0;
  let places = new Int32Array(3 * 4096);
  let parents = new Int32Array(4096);
  const here = new Int32Array(widthPx + 1);
  let above = 0;
  for (let y = 0; y < heightPx; y++) {
    const ends = darkRuns(tone, y * widthPx, widthPx, level, here);
    const first = count;
    let next = above;
    for (let end = 0; end < ends; end += 2) {
      const [from, to] = [here[end]!, here[end + 1]!];
      if (count === parents.length) [places, parents] = [longer(places), longer(parents)];
      places[3 * count] = from;
      places[3 * count + 1] = to;
      places[3 * count + 2] = y;
      parents[count] = count;
      while (next < first && places[3 * next + 1]! <= from) next++;
      for (let k = next; k < first && places[3 * k]! < to; k++) {
        parents[root(parents, k)] = root(parents, count);
      }
      count++;
    }
    above = first;
  }
  return { count, places, parents };
}

/** All areas of so many pixels that are darker than `threshold` of the paper’s light, 0 … 1; pixels are joined along their sides. */
export function areasBelow(small: Reduced, threshold: number, leastPx: number, mostPx: number): Area[] {
  const { widthPx, heightPx } = small;
  const { count, places, parents } = joinedRuns(small, Math.round(threshold * PAPER));
  const sizes = new Int32Array(count);
  for (let run = 0; run < count; run++) {
    sizes[root(parents, run)]! += places[3 * run + 1]! - places[3 * run]!;
  }
  // Most areas are specks, lettering or large: their moments are not asked for
  const sums = new Map<number, Sums>();
  for (let run = 0; run < count; run++) {
    const top = root(parents, run);
    if (sizes[top]! < leastPx || sizes[top]! > mostPx) continue;
    const [from, to, y] = [places[3 * run]!, places[3 * run + 1]!, places[3 * run + 2]!];
    const sum = sums.get(top) ?? { n: 0, x: 0, y: 0, xx: 0, yy: 0, xy: 0, touchesEdge: false };
    addRun(sum, from, to, y);
    if (from === 0 || to === widthPx || y === 0 || y === heightPx - 1) sum.touchesEdge = true;
    sums.set(top, sum);
  }
  return [...sums.values()].map(areaOf);
}
