import type { Labels } from './contract.ts';

/** A seen pixel keeps the value of its border in its lower four bits, and in its upper ones the number of the step, 1 … 15 over and over. */
export const VALUE = 15;
const STEPS = 15;
/** The first step in a seen pixel, its value 0. */
export const FIRST_STEP = 1 << 4;

/** How to go inwards. */
export interface Way {
  readonly reach: number;
  /** 1 for a value that wins where a pixel is reached from two sides at once: entry 16 · own label + value. */
  readonly wins: Uint8Array;
  /** Bits of `seen` that stay; pixels without them are not entered. */
  readonly only: number;
}

/** Room for pixels that are found one by one. */
export function openList(): { add(at: number): void; all(): Int32Array } {
  let found = new Int32Array(1 << 12);
  let count = 0;
  return {
    add(at) {
      if (count === found.length) {
        const wider = new Int32Array(2 * count);
        wider.set(found);
        found = wider;
      }
      found[count++] = at;
    },
    all: () => found.slice(0, count),
  };
}

/**
 * Goes inwards from some pixels, which are noted in `seen`, pixel by pixel and never into another label: so that each pixel
 * belongs to the one nearest to it inside its own label. Steps are to the four and to the eight neighbours in turn, which
 * makes octagons. `take` is given the pixels of each step, the first being those it begins with.
 */
export function inwards(
  labels: Labels,
  from: Int32Array,
  way: Way,
  seen: Uint8Array,
  take: (pixels: Int32Array, step: number) => void,
): void {
  let frontier = from;
  let older: Int32Array = new Int32Array(0);
  for (let step = 1; step <= way.reach && frontier.length > 0; step++) {
    take(frontier, step);
    if (step === way.reach) break;
    const mark = ((step % STEPS) + 1) << 4;
    const isDiagonal = step % 2 === 1;
    // what could not go on at a corner in the last step may do so now
    const next = [goOn(labels, way, seen, frontier, mark, isDiagonal)];
    if (isDiagonal) next.push(goOn(labels, way, seen, older, mark, true));
    older = frontier;
    frontier = joined(next);
  }
}

function joined(parts: readonly Int32Array[]): Int32Array {
  const all = new Int32Array(parts.reduce((sum, { length }) => sum + length, 0));
  let at = 0;
  for (const part of parts) {
    all.set(part, at);
    at += part.length;
  }
  return all;
}

/** One step from some pixels to those beside them, inside their label; returns those that were not seen before. */
function goOn(
  { widthPx, heightPx, data }: Labels,
  { wins, only }: Way,
  seen: Uint8Array,
  from: Int32Array,
  mark: number,
  isDiagonal: boolean,
): Int32Array {
  const next = new Int32Array(from.length * (isDiagonal ? 8 : 4));
  let count = 0;
  for (let i = 0; i < from.length; i++) {
    const at = from[i]!;
    const own = data[at]!;
    const value = seen[at]! & VALUE;
    const x = at % widthPx;
    const y = (at - x) / widthPx;
    for (let dy = -1; dy <= 1; dy++)
      for (let dx = -1; dx <= 1; dx++) {
        if (dx === 0 ? dy === 0 : dy !== 0 && !isDiagonal) continue;
        if (x + dx < 0 || x + dx >= widthPx || y + dy < 0 || y + dy >= heightPx) continue;
        const to = at + dy * widthPx + dx;
        if (data[to] !== own || (seen[to]! & only) !== only) continue;
        if (seen[to] === only) next[count++] = to;
        else if ((seen[to]! & 0xf0) !== mark || wins[16 * own + value] === 0) continue;
        seen[to] = mark | value;
      }
  }
  return next.slice(0, count);
}
