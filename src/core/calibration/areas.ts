import type { Reduced } from './reduced.ts';

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

const longer = (parents: Int32Array): Int32Array<ArrayBuffer> => {
  const more = new Int32Array(parents.length * 2);
  more.set(parents);
  return more;
};

/** Sums of the run of pixels `from` … `to` of row y. */
function runSums(from: number, to: number, y: number, edge: boolean): Sums {
  const n = to - from;
  const mid = (from + to) / 2;
  return {
    n,
    x: n * mid,
    y: n * (y + 0.5),
    xx: n * mid * mid + (n * (n * n - 1)) / 12,
    yy: n * (y + 0.5) ** 2,
    xy: n * mid * (y + 0.5),
    touchesEdge: edge,
  };
}

function add(into: Sums, sum: Sums): void {
  into.n += sum.n;
  into.x += sum.x;
  into.y += sum.y;
  into.xx += sum.xx;
  into.yy += sum.yy;
  into.xy += sum.xy;
  into.touchesEdge ||= sum.touchesEdge;
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

/** Starts and ends of the runs of a row that are darker than a threshold; gives how many numbers were written. */
function darkRuns(
  tone: Float32Array,
  row: number,
  widthPx: number,
  threshold: number,
  runs: Int32Array,
): number {
  let count = 0;
  let dark = false;
  for (let x = 0; x < widthPx; x++) {
    if (tone[row + x]! < threshold === dark) continue;
    dark = !dark;
    runs[count++] = x;
  }
  if (dark) runs[count++] = widthPx;
  return count;
}

/** All areas darker than a threshold, pixels joined along their sides: runs of each row joined to those above. */
export function areasBelow({ widthPx, heightPx, tone }: Reduced, threshold: number): Area[] {
  const sums: Sums[] = [];
  let parents = new Int32Array(1024);
  let [above, here] = [new Int32Array(widthPx + 1), new Int32Array(widthPx + 1)];
  let [aboveCount, aboveLabel] = [0, 0];
  for (let y = 0; y < heightPx; y++) {
    const count = darkRuns(tone, y * widthPx, widthPx, threshold, here);
    const hereLabel = sums.length;
    let next = 0;
    for (let run = 0; run < count; run += 2) {
      const [from, to] = [here[run]!, here[run + 1]!];
      const edge = from === 0 || to === widthPx || y === 0 || y === heightPx - 1;
      const label = sums.push(runSums(from, to, y, edge)) - 1;
      if (label === parents.length) parents = longer(parents);
      parents[label] = label;
      while (next < aboveCount && above[next + 1]! <= from) next += 2;
      for (let k = next; k < aboveCount && above[k]! < to; k += 2) {
        parents[root(parents, aboveLabel + k / 2)] = root(parents, label);
      }
    }
    [above, here] = [here, above];
    [aboveCount, aboveLabel] = [count, hereLabel];
  }
  sums.forEach((sum, label) => {
    const top = root(parents, label);
    if (top !== label) add(sums[top]!, sum);
  });
  return sums.filter((_, label) => parents[label] === label).map(areaOf);
}
