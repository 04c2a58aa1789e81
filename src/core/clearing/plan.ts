import { widestGapMm } from '../hold/widths.ts';
import { passesFor } from '../time/passes.ts';

/** Shallowest ground between lines that accurate rollers leave clean (Britannica, photoengraving, production specifications). */
const LEAST_GROUND_MM = 0.25;

/** More files than this nobody runs one after the other; further passes go over the same plates again. */
const MOST_PLATES = 8;

/** Cells that a gap must have left between its insets, or a clearing plate does nothing in it. */
const LEAST_CELLS = 3;

/** What is wanted of a relief, and what one pass gives. Lengths in mm. */
export interface ClearingWish {
  /** Deepest that anything is to go. */
  readonly depthMm: number;
  /** Depth of one pass of the plate itself, and of one clearing pass. */
  readonly finePassMm: number;
  readonly clearPassMm: number;
  /** How much further from the walls each clearing pass stays than the one before. */
  readonly insetMm: number;
  /** Size of a pixel of the clearing plates. */
  readonly cellMm: number;
  /** Depth that keeps the floor of a gap clean; never falls as the gap widens. */
  neededDepthMm(gapMm: number): number;
}

/** One clearing plate: where it is fired and how often. */
export interface ClearingStep {
  readonly passes: number;
  /** It covers the gaps wider than this, which the passes before leave too shallow. */
  readonly gapsOverMm: number;
  /** It stays this far from every wall. */
  readonly insetMm: number;
  /** Depth of its ground when it is done. */
  readonly toDepthMm: number;
}

/** Passes of a plate and of its clearing plates, the widest ground last. */
export interface ClearingPlan {
  /** Passes of the plate itself, over everything that is etched. */
  readonly finePasses: number;
  readonly steps: readonly ClearingStep[];
}

/**
 * How many pixels of a plate, in each direction, one pixel of its clearing plates covers: as many as keep the pitch within
 * the spot. A twentieth more is let pass, since the floor of deeper passes lies out of focus, where the spot is wider.
 */
export const clearingRatio = (pitchMm: number, spotMm: number): number =>
  Math.max(1, Math.floor((1.05 * spotMm) / pitchMm));

/**
 * Plans the passes of a relief that needs its depth in the open only: as few of the whole plate as give narrow ground its
 * depth, then clearing passes, each over the gaps that need more than the passes before give, down to the depth wanted.
 * Gaps for which no depth is enough go as deep as that.
 */
export function planClearing(wish: ClearingWish): ClearingPlan {
  const { depthMm, finePassMm, clearPassMm, insetMm, cellMm } = wish;
  const served = (mm: number): number => widestGapMm(mm, wish.neededDepthMm);
  let finePasses = passesFor(Math.min(depthMm, LEAST_GROUND_MM), finePassMm);
  const leastGapMm = 2 * insetMm + LEAST_CELLS * cellMm;
  while (finePasses * finePassMm < depthMm && served(finePasses * finePassMm) < leastGapMm) finePasses++;
  const groundMm = finePasses * finePassMm;
  const wanted = groundMm + 1e-9 < depthMm ? passesFor(depthMm - groundMm, clearPassMm) : 0;
  const steps: ClearingStep[] = [];
  for (let done = 0, plate = 0; done < wanted; plate++) {
    const passes = Math.ceil((wanted - done) / (Math.min(wanted, MOST_PLATES) - plate));
    const gapsOverMm = served(groundMm + done * clearPassMm);
    if (gapsOverMm === Infinity) break;
    const toDepthMm = groundMm + (done + passes) * clearPassMm;
    steps.push({ passes, gapsOverMm, insetMm: (done + 1) * insetMm, toDepthMm });
    done += passes;
  }
  return { finePasses, steps };
}
