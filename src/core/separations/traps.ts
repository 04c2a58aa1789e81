import type { Bitmap } from '../bitmap.ts';
import type { Labels } from './contract.ts';

/** What becomes of pixels of one label near another. */
export const KEEP = 0;
/** The other's plate prints under or over them too. */
export const SPREAD = 1;
/** Neither plate prints them: a white line. */
export const BARE = 2;

/** KEEP, SPREAD or BARE for pixels of label `own` whose nearest other label is `other`: entry own · labels + other. */
export interface TrapRules {
  readonly labels: number;
  readonly table: Uint8Array;
  /** How far from the border SPREAD and BARE reach, in pixels; 0 does nothing. */
  readonly spreadPx: number;
  readonly barePx: number;
}

/** What came of the rules, for each ink, in pixels. */
export interface TrapTally {
  /** Border along which its plate spreads, and all that it took: their ratio is the mean width that it came to. */
  readonly borderPx: Int32Array;
  readonly spreadPx: Int32Array;
  readonly barePx: Int32Array;
}

/** A seen pixel keeps the other label in its lower four bits, and in its upper ones the number of the step, 1 … 15 over and over. */
const OTHER = 15;

/** Pixels that lie on the border of their label, each with the other label it touches; of several the one that keeps it. */
function borderPixels({ widthPx, heightPx, data }: Labels, rules: TrapRules, seen: Uint8Array): Int32Array {
  const { labels, table } = rules;
  let frontier = new Int32Array(1 << 16);
  let count = 0;
  for (let y = 0, at = 0; y < heightPx; y++)
    for (let x = 0; x < widthPx; x++, at++) {
      const own = data[at]!;
      const left = x > 0 ? data[at - 1]! : own;
      const right = x < widthPx - 1 ? data[at + 1]! : own;
      const up = y > 0 ? data[at - widthPx]! : own;
      const down = y < heightPx - 1 ? data[at + widthPx]! : own;
      if (left === own && right === own && up === own && down === own) continue;
      let other = -1;
      for (const near of [up, left, right, down])
        if (near !== own && (other < 0 || table[own * labels + near] === KEEP)) other = near;
      seen[at] = (1 << 4) | other;
      if (count === frontier.length) {
        const wider = new Int32Array(2 * count);
        wider.set(frontier);
        frontier = wider;
      }
      frontier[count++] = at;
    }
  return frontier.slice(0, count);
}

/**
 * Goes inwards from every border at once, pixel by pixel, and never into another label: so that each pixel belongs to
 * the border nearest to it, and nothing spreads past the middle of what it spreads under. Steps are to the four and to the
 * eight neighbours in turn, which makes octagons. Changes the plates, one for each ink.
 */
export function trap(labels: Labels, rules: TrapRules, plates: readonly Bitmap[]): TrapTally {
  const reach = Math.max(rules.spreadPx, rules.barePx);
  const none = () => new Int32Array(plates.length);
  const tally = { borderPx: none(), spreadPx: none(), barePx: none() };
  if (reach < 1) return tally;
  const seen = new Uint8Array(labels.data.length);
  let frontier: Int32Array = borderPixels(labels, rules, seen);
  let older: Int32Array = new Int32Array(0);
  for (let step = 1; step <= reach && frontier.length > 0; step++) {
    for (let i = 0; i < frontier.length; i++) settle(labels, rules, plates, tally, frontier[i]!, seen, step);
    if (step === reach) break;
    const mark = ((step % OTHER) + 1) << 4;
    const isDiagonal = step % 2 === 1;
    // what could not go on at a corner in the last step may do so now
    const next = [goOn(labels, rules, seen, frontier, mark, isDiagonal)];
    if (isDiagonal) next.push(goOn(labels, rules, seen, older, mark, true));
    older = frontier;
    frontier = joined(next);
  }
  return tally;
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
  { labels, table }: TrapRules,
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
    const other = seen[at]! & OTHER;
    const x = at % widthPx;
    const y = (at - x) / widthPx;
    for (let dy = -1; dy <= 1; dy++)
      for (let dx = -1; dx <= 1; dx++) {
        if (dx === 0 ? dy === 0 : dy !== 0 && !isDiagonal) continue;
        if (x + dx < 0 || x + dx >= widthPx || y + dy < 0 || y + dy >= heightPx) continue;
        const to = at + dy * widthPx + dx;
        if (data[to] !== own) continue;
        if (seen[to] === 0) next[count++] = to;
        // reached from two sides at once: the one that leaves it alone wins
        else if ((seen[to]! & 0xf0) !== mark || table[own * labels + other] !== KEEP) continue;
        seen[to] = mark | other;
      }
  }
  return next.slice(0, count);
}

function settle(
  { widthPx, data }: Labels,
  { table, labels, spreadPx, barePx }: TrapRules,
  plates: readonly Bitmap[],
  tally: TrapTally,
  at: number,
  seen: Uint8Array,
  step: number,
): void {
  const own = data[at]!;
  const other = seen[at]! & OTHER;
  const rule = table[own * labels + other]!;
  const x = at % widthPx;
  const y = (at - x) / widthPx;
  if (rule === SPREAD && step <= spreadPx) {
    const { data: bits, strideBytes } = plates[other - 1]!;
    const byte = y * strideBytes + (x >> 3);
    bits[byte] = bits[byte]! | (0x80 >> (x & 7));
    if (step === 1) tally.borderPx[other - 1] = tally.borderPx[other - 1]! + 1;
    tally.spreadPx[other - 1] = tally.spreadPx[other - 1]! + 1;
  }
  if (rule === BARE && step <= barePx) {
    const { data: bits, strideBytes } = plates[own - 1]!;
    const byte = y * strideBytes + (x >> 3);
    bits[byte] = bits[byte]! & ~(0x80 >> (x & 7));
    tally.barePx[own - 1] = tally.barePx[own - 1]! + 1;
  }
}
