import type { Tile } from './tiles.ts';

/** What the pixels of a picture are; shares 0 … 1 of all that were looked at. */
export interface ToneShares {
  /** Neither near paper, nor near solid, nor on the ramp of an edge. */
  readonly midShare: number;
  /** On the ramp of an edge, or in a pattern too fine to have anything else. */
  readonly rampShare: number;
  /** The usual tone of the paper and of the solids, 0 … 1. */
  readonly paperTone: number;
  readonly solidTone: number;
  /** The lightest and the darkest tone that there is, 0 … 1. */
  readonly lightestTone: number;
  readonly darkestTone: number;
  /** Part of the mid pixels round which nothing changes; 0 where there are none. */
  readonly flatOfMid: number;
  /** Part of the flat mid pixels that lies on their eight commonest tones (of 256); 0 where there are none. */
  readonly fewTones: number;
}

const BINS = 256;
const binOf = (tone: number): number => tone >> 8;

/** Paper and ink of a scan are not the ends of the scale: so far from their usual tone, in 1/256, they still count. */
const NEAR_PAPER = 24;
const NEAR_SOLID = 32;

/** A ramp changes by so much within three pixels to either side, from paper or to a solid: less is shading. */
const RAMP = 72 << 8;
/** By so much it is a ramp even where blur has left neither paper nor solid. */
const STEEP = 112 << 8;
const REACH_PX = 3;

/** Within three pixels to either side a flat field stays within so much: the noise of a JPEG or of a scan's tint. */
const FLAT = 12 << 8;

/** Every second pixel of every second row is judged: a quarter of the work, and much the same shares. */
const STRIDE = 2;

function histogramOf(tiles: readonly Tile[]): Float64Array {
  const counts = new Float64Array(BINS);
  for (const { tone } of tiles) for (let i = 0; i < tone.length; i++) counts[binOf(tone[i]!)]! += 1;
  return counts;
}

/** The commonest tone of a half of the scale, taken over seven bins; its far end where the half is as good as empty. */
function usualTone(counts: Float64Array, from: number, to: number, end: number): number {
  let best = end;
  let most = 1e-4 * counts.reduce((sum, count) => sum + count, 0);
  for (let bin = from; bin < to; bin++) {
    let near = 0;
    for (let i = Math.max(0, bin - 3); i <= Math.min(BINS - 1, bin + 3); i++) near += counts[i]!;
    if (near > most) [best, most] = [bin, near];
  }
  const middle = best;
  for (let bin = Math.max(0, middle - 3); bin <= Math.min(BINS - 1, middle + 3); bin++)
    if (counts[bin]! > counts[best]!) best = bin;
  return best;
}

/** Least and most tone of the square round a pixel, by columns first, as neighbours share them. */
function openRange({ widthPx, heightPx, tone }: Tile) {
  const lows = new Int32Array(widthPx);
  const highs = new Int32Array(widthPx);
  const range = {
    low: 0,
    high: 0,
    /** Gets ready for the pixels of row y. */
    row(y: number): void {
      const bottom = Math.min(heightPx - 1, y + REACH_PX);
      lows.fill(0xffff);
      highs.fill(0);
      for (let v = Math.max(0, y - REACH_PX); v <= bottom; v++) {
        const from = v * widthPx;
        for (let x = 0; x < widthPx; x++) {
          // without a branch, as noise would make each one a guess
          const here = tone[from + x]!;
          const less = here - lows[x]!;
          const more = highs[x]! - here;
          lows[x]! += less & (less >> 31);
          highs[x]! -= more & (more >> 31);
        }
      }
    },
    /** Sets `low` and `high` for pixel x of that row. */
    at(x: number): void {
      const right = Math.min(widthPx - 1, x + REACH_PX);
      let low = 0xffff;
      let high = 0;
      for (let u = Math.max(0, x - REACH_PX); u <= right; u++) {
        const less = lows[u]! - low;
        const more = high - highs[u]!;
        low += less & (less >> 31);
        high -= more & (more >> 31);
      }
      range.low = low;
      range.high = high;
    },
  };
  return range;
}

/** Tells paper, solids and the ramps between them from tone. A ramp is known by the paper or solid near by and by its slope. */
export function toneShares(tiles: readonly Tile[]): ToneShares {
  const counts = histogramOf(tiles);
  const paper = usualTone(counts, 0, BINS / 2, 0);
  const solid = usualTone(counts, BINS / 2, BINS, BINS - 1);
  const isPaper = (tone: number): boolean => Math.abs(binOf(tone) - paper) <= NEAR_PAPER;
  const isSolid = (tone: number): boolean => Math.abs(binOf(tone) - solid) <= NEAR_SOLID;
  const flatTones = new Float64Array(BINS);
  let [all, mid, flat, ramp] = [0, 0, 0, 0];
  for (const tile of tiles) {
    const { widthPx, heightPx, tone } = tile;
    const around = openRange(tile);
    for (let y = 0; y < heightPx; y += STRIDE) {
      let ready = false;
      for (let x = 0; x < widthPx; x += STRIDE) {
        const here = tone[y * widthPx + x]!;
        all++;
        if (isPaper(here) || isSolid(here)) continue;
        if (!ready) around.row(y);
        ready = true;
        around.at(x);
        const { low, high } = around;
        const range = high - low;
        if (range >= STEEP || (range >= RAMP && (isPaper(low) || isSolid(high)))) {
          ramp++;
          continue;
        }
        mid++;
        if (range > FLAT) continue;
        flat++;
        flatTones[binOf(here)]! += 1;
      }
    }
  }
  const commonest = [...flatTones].sort((a, b) => b - a).slice(0, 8);
  return {
    midShare: mid / all,
    rampShare: ramp / all,
    paperTone: paper / (BINS - 1),
    solidTone: solid / (BINS - 1),
    lightestTone: counts.findIndex((count) => count > 0) / (BINS - 1),
    darkestTone: counts.findLastIndex((count) => count > 0) / (BINS - 1),
    flatOfMid: mid === 0 ? 0 : flat / mid,
    fewTones: flat === 0 ? 0 : commonest.reduce((sum, count) => sum + count, 0) / flat,
  };
}
