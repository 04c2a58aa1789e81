import { indexIn, type Repeat } from '../tiled.ts';

/** The connected pieces in which the steps of a pattern turn to ink; all arrays row by row. */
export interface Parts {
  /** Number of each pixel's piece among those of its step, from 0. */
  readonly part: Int32Array;
  /** From the pixel where its piece begins to the pixel itself, on the plate without end. */
  readonly dx: Int32Array;
  readonly dy: Int32Array;
  /** Most pieces that a step has. */
  readonly most: number;
}

const SIDES = [
  [1, 0],
  [-1, 0],
  [0, 1],
  [0, -1],
] as const;

/**
 * Pieces of pixels of one step that are joined by their sides, each wherever it lies in the repeat. A step with a piece that
 * has no end, such as a line, is one piece whose every pixel is its own beginning.
 */
export function partsOf(steps: Int32Array, repeat: Repeat): Parts {
  const part = new Int32Array(steps.length).fill(-1);
  const dx = new Int32Array(steps.length);
  const dy = new Int32Array(steps.length);
  const counts = new Map<number, number>();
  const endless = new Set<number>();
  for (let y = 0, first = 0; y < repeat.heightPx; y++)
    for (let x = 0; x < repeat.widthPx; x++, first++) {
      if (part[first] !== -1) continue;
      const step = steps[first]!;
      const number = counts.get(step) ?? 0;
      counts.set(step, number + 1);
      part[first] = number;
      const found = [first];
      for (let next = found.pop(); next !== undefined; next = found.pop())
        for (const [right, down] of SIDES) {
          const [awayX, awayY] = [dx[next]! + right, dy[next]! + down];
          const i = indexIn(repeat, x + awayX, y + awayY);
          if (steps[i] !== step) continue;
          if (part[i] === -1) {
            [part[i], dx[i], dy[i]] = [number, awayX, awayY];
            found.push(i);
          } else if (dx[i] !== awayX || dy[i] !== awayY) endless.add(step);
        }
    }
  for (let i = 0; i < steps.length; i++) if (endless.has(steps[i]!)) part[i] = dx[i] = dy[i] = 0;
  return { part, dx, dy, most: Math.max(...counts.values()) };
}
