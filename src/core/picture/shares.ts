import { BINS, STRIDE } from './judging.ts';
import type { SharesLoops } from './loops.ts';
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

/** The commonest tone of a half of the scale, taken over seven bins; its far end where the half is as good as empty. */
function usualTone(counts: Int32Array, from: number, to: number, end: number): number {
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

/** Tells paper, solids and the ramps between them from tone. A ramp is known by the paper or solid near by and by its slope. */
export function toneShares(tiles: readonly Tile[], loops: SharesLoops): ToneShares {
  const counts = loops.histogram(tiles);
  const paper = usualTone(counts, 0, BINS / 2, 0);
  const solid = usualTone(counts, BINS / 2, BINS, BINS - 1);
  const { mid, flat, ramp, flatTones } = loops.judge(tiles, paper, solid);
  let all = 0;
  for (const { widthPx, heightPx } of tiles)
    all += Math.ceil(widthPx / STRIDE) * Math.ceil(heightPx / STRIDE);
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
