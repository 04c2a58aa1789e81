import type { Bitmap } from '../bitmap.ts';
import type { Labels } from './contract.ts';
import { FIRST_STEP, inwards, openList, VALUE } from './inwards.ts';
import { spreadAtMeetings } from './meetings.ts';

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

/** Pixels that lie on the border of their label, each with the other label it touches; of several the one that keeps it. */
function borderPixels({ widthPx, heightPx, data }: Labels, rules: TrapRules, seen: Uint8Array): Int32Array {
  const { labels, table } = rules;
  const found = openList();
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
      seen[at] = FIRST_STEP | other;
      found.add(at);
    }
  return found.all();
}

/** A tie is won by the label that leaves the pixel alone. */
function keepers({ labels, table }: TrapRules): Uint8Array {
  const wins = new Uint8Array(16 * labels);
  for (let own = 0; own < labels; own++)
    for (let other = 0; other < labels; other++)
      wins[16 * own + other] = table[own * labels + other] === KEEP ? 1 : 0;
  return wins;
}

/**
 * Goes inwards from every border at once, so that each pixel belongs to the border nearest to it, and nothing spreads past
 * the middle of what it spreads under; then makes good what that leaves bare where three labels meet. Nothing passes the
 * far edge of the label it spreads under. Changes the plates, one for each ink.
 */
export function trap(labels: Labels, rules: TrapRules, plates: readonly Bitmap[]): TrapTally {
  const { labels: count, table, spreadPx, barePx } = rules;
  const reach = Math.max(spreadPx, barePx);
  const none = () => new Int32Array(plates.length);
  const tally = { borderPx: none(), spreadPx: none(), barePx: none() };
  if (reach < 1) return tally;
  const seen = new Uint8Array(labels.data.length);
  const border = borderPixels(labels, rules, seen);
  inwards(labels, border, { reach, wins: keepers(rules), only: 0 }, seen, (pixels, step) => {
    for (let i = 0; i < pixels.length; i++) settle(labels, rules, plates, tally, pixels[i]!, seen, step);
  });
  if (spreadPx > 0) {
    const spreads = (own: number, other: number): boolean => table[own * count + other] === SPREAD;
    const more = spreadAtMeetings(labels, count, spreads, spreadPx, plates, seen);
    for (let ink = 0; ink < plates.length; ink++) tally.spreadPx[ink] = tally.spreadPx[ink]! + more[ink]!;
  }
  return tally;
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
  const other = seen[at]! & VALUE;
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
