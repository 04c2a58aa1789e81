import { octagonFor } from '../hold/opening.ts';
import { indexIn, type Repeat } from './tiled.ts';

/** The sets of pixels that are ink at level t are those of a number below t: flat openings, G. Matheron 1975 and J. Serra 1982 (from memory). */
type Side = 'ink' | 'paper';

/** The larger, or the smaller, of two runs of numbers, 0 … 2³⁰; without a branch, which nothing foresees here. */
function mergeRun(
  to: Int32Array,
  at: number,
  from: Int32Array,
  there: number,
  length: number,
  largest: boolean,
): void {
  const flip = largest ? -1 : 0;
  for (let i = 0; i < length; i++) {
    const here = from[at + i]!;
    const more = (from[there + i]! - here) | 0;
    to[at + i] = here + (more & ((more >> 31) ^ flip));
  }
}

/** Two planes to sweep in by turns: with a new one for every step, mixtures of dots left 30 MB lying about. */
type Planes = readonly [Int32Array, Int32Array];

/** Smallest or largest number along `reach` steps of (dx, dy) from each pixel on, by doubling; in one of the planes, or the values as they are. */
function sweep(
  values: Int32Array,
  planes: Planes,
  repeat: Repeat,
  [dx, dy]: readonly [number, number],
  reach: number,
  largest: boolean,
): Int32Array {
  const { widthPx, heightPx } = repeat;
  let from = values;
  for (let done = 1; done < reach; ) {
    const step = Math.min(done, reach - done);
    const to = from === planes[0] ? planes[1] : planes[0];
    for (let y = 0; y < heightPx; y++) {
      const at = y * widthPx;
      const there = indexIn(repeat, dx * step, y + dy * step);
      const column = there % widthPx;
      const untilEnd = widthPx - column;
      mergeRun(to, at, from, there, untilEnd, largest);
      mergeRun(to, at + untilEnd, from, there - column, column, largest);
    }
    from = to;
    done += step;
  }
  return from;
}

/** Leaves of each set what a square of `square` pixels, grown `slant` steps along both diagonals, can cover; in one of the planes. */
function openedBy(
  values: Int32Array,
  planes: Planes,
  repeat: Repeat,
  side: Side,
  square: number,
  slant: number,
): Int32Array {
  const ink = side === 'ink';
  const sides = [
    [1, 0, square],
    [0, 1, square],
    [1, 1, slant + 1],
    [-1, 1, slant + 1],
  ] as const;
  let out = values;
  for (const [dx, dy, reach] of sides) out = sweep(out, planes, repeat, [dx, dy], reach, ink);
  for (const [dx, dy, reach] of sides) out = sweep(out, planes, repeat, [-dx, -dy], reach, !ink);
  return out;
}

/** Every set opened by the square or the octagon of a width, whichever leaves more: narrower features are gone from every level at once. */
export function opened(values: Int32Array, repeat: Repeat, side: Side, widthPx: number): Int32Array {
  if (widthPx < 2) return values;
  const planes: Planes = [new Int32Array(values.length), new Int32Array(values.length)];
  const bySquare = openedBy(values, planes, repeat, side, widthPx, 0).slice();
  const { square, slant } = octagonFor(widthPx);
  if (slant === 0) return bySquare;
  const byOctagon = openedBy(values, planes, repeat, side, square, slant);
  for (let i = 0; i < bySquare.length; i++)
    if (byOctagon[i]! < bySquare[i]! === (side === 'ink')) bySquare[i] = byOctagon[i]!;
  return bySquare;
}

/** Narrowest ink and narrowest paper, in whole pixels. */
export interface Narrowest {
  readonly inkPx: number;
  readonly paperPx: number;
}

/** A pattern in steps that hold: the sets of pixels that are ink after each step, each within the next. */
export interface HeldSteps {
  /** At which step each pixel turns to ink, 0 … tones − 2, row by row. */
  readonly steps: Int32Array;
  /** Pixels of ink before each step, from none to all: one entry a tone, bare paper and solid among them. */
  readonly inkPx: Int32Array;
}

/** Marks the levels at which two families of nested sets differ. */
function differing(low: Int32Array, high: Int32Array, marks: Int32Array): void {
  for (let i = 0; i < low.length; i++) {
    if (low[i] === high[i]) continue;
    marks[low[i]! + 1]!++;
    marks[high[i]! + 1]!--;
  }
}

/**
 * Opens ink and paper of a pattern that turns to ink by rank, 0 … ranks − 1, and leaves out every level that still has
 * a feature too narrow; bare paper and solid are levels too.
 */
export function heldSteps(
  ranks: Int32Array,
  ranked: number,
  repeat: Repeat,
  { inkPx, paperPx }: Narrowest,
): HeldSteps {
  const values = opened(opened(ranks, repeat, 'paper', paperPx), repeat, 'ink', inkPx);
  const narrowAt = new Int32Array(ranked + 2);
  differing(values, opened(values, repeat, 'ink', inkPx), narrowAt);
  differing(opened(values, repeat, 'paper', paperPx), values, narrowAt);

  const share = new Int32Array(ranked);
  for (const value of values) share[value]!++;
  const stepOf = new Int32Array(ranked);
  const counts = [0];
  for (let level = 1, ink = 0, first = 0, narrow = narrowAt[0]!; level <= ranked; level++) {
    ink += share[level - 1]!;
    narrow += narrowAt[level]!;
    if ((narrow > 0 && ink < ranks.length) || ink === counts.at(-1)) continue;
    stepOf.fill(counts.length - 1, first, level);
    counts.push(ink);
    first = level;
  }
  const steps = new Int32Array(values.length);
  for (let i = 0; i < steps.length; i++) steps[i] = stepOf[values[i]!]!;
  return { steps, inkPx: Int32Array.from(counts) };
}

/** Largest ink tone that stays paper, 0 … 65534, of each pixel: a tone between two of the steps is drawn as the nearer. */
export function paperTonesOf({ steps, inkPx }: HeldSteps): Uint16Array {
  const limits = Uint16Array.from({ length: inkPx.length - 1 }, (_, step) =>
    Math.min(65534, Math.floor(((inkPx[step]! + inkPx[step + 1]!) / 2 / steps.length) * 65535)),
  );
  const tones = new Uint16Array(steps.length);
  for (let i = 0; i < tones.length; i++) tones[i] = limits[steps[i]!]!;
  return tones;
}

/** Largest part of the whole by which two neighbouring tones differ, 0 … 1. */
export function widestStep({ steps, inkPx }: HeldSteps): number {
  let widest = 0;
  for (let tone = 1; tone < inkPx.length; tone++) widest = Math.max(widest, inkPx[tone]! - inkPx[tone - 1]!);
  return widest / steps.length;
}
