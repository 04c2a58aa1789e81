import type { Loop, OutlinePath, PointMm } from './contract.ts';
import { distance, pointAt } from './fit.ts';

/** A curve as so many chords: 2 µm off for a quarter circle of 10 mm. */
const CHORDS = 32;

/** The line as a polygon, for measuring and for filling. */
export function flattened({ start, segments }: OutlinePath): Loop {
  const points: PointMm[] = [];
  let from = start;
  for (const { c1, c2, to } of segments) {
    points.push(from);
    if (c1 && c2) for (let i = 1; i < CHORDS; i++) points.push(pointAt([from, c1, c2, to], i / CHORDS));
    from = to;
  }
  return points;
}

function loopAreaMm2(loop: Loop): number {
  let twice = 0;
  for (let i = 0; i < loop.length; i++) {
    const a = loop[i]!;
    const b = loop[(i + 1) % loop.length]!;
    twice += a.x * b.y - a.y * b.x;
  }
  return Math.abs(twice) / 2;
}

/** What is told of lines that are cut. */
export interface Measures {
  /** Of all lines, holes too. */
  readonly lengthMm: number;
  /** Inside the lines, holes taken off. */
  readonly areaMm2: number;
  readonly box: {
    readonly left: number;
    readonly top: number;
    readonly right: number;
    readonly bottom: number;
  };
}

/** Length, area and box of the drawn lines themselves. */
export function measurePaths(paths: readonly OutlinePath[]): Measures {
  const box = {
    left: Number.POSITIVE_INFINITY,
    top: Number.POSITIVE_INFINITY,
    right: Number.NEGATIVE_INFINITY,
    bottom: Number.NEGATIVE_INFINITY,
  };
  let [lengthMm, areaMm2] = [0, 0];
  for (const path of paths) {
    const loop = flattened(path);
    areaMm2 += (path.isHole ? -1 : 1) * loopAreaMm2(loop);
    for (const [i, point] of loop.entries()) {
      lengthMm += distance(point, loop[(i + 1) % loop.length]!);
      box.left = Math.min(box.left, point.x);
      box.right = Math.max(box.right, point.x);
      box.top = Math.min(box.top, point.y);
      box.bottom = Math.max(box.bottom, point.y);
    }
  }
  return { lengthMm, areaMm2, box };
}
