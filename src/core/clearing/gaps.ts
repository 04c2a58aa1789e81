import { type Bitmap, getBit } from '../bitmap.ts';
import { findWide } from '../hold/inscribed.ts';
import { type Beam, widthMm, widthPx } from '../hold/widths.ts';
import type { ClearingPlan } from './plan.ts';

/** A cleared area by its largest circle, measured on the bits of the plate; lengths in mm, as the plate lies. */
export interface Gap {
  /** Middle of the circle. */
  readonly xMm: number;
  readonly yMm: number;
  /** How wide it comes out under the beam. */
  readonly widthMm: number;
}

/** A gap, the depth it wants and the depth it gets. */
export interface ClearedGap extends Gap {
  /** Infinity where no depth is enough. */
  readonly neededMm: number;
  readonly reachedMm: number;
}

/** Every cleared area wider than `overMm`, the widest first. */
export function gapsOver(etch: Bitmap, overMm: number, beam: Beam): Gap[] {
  return findWide(etch, 'etched', widthPx('etched', overMm, beam)).map(({ x, y, diameterPx }) => ({
    xMm: (x + 0.5) * beam.pitchMm,
    yMm: (y + 0.5) * beam.pitchMm,
    widthMm: widthMm('etched', diameterPx, beam),
  }));
}

/**
 * Depths that the gaps get in their middle, counted on the clearing plates as they are fired: the passes of the plate itself,
 * and those of each mask, in the order of the steps, that has a pixel there.
 */
export function clearedGaps(
  gaps: readonly Gap[],
  plan: ClearingPlan,
  masks: readonly Bitmap[],
  depths: { readonly finePassMm: number; readonly clearPassMm: number; readonly cellMm: number },
  neededDepthMm: (gapMm: number) => number,
): ClearedGap[] {
  const { finePassMm, clearPassMm, cellMm } = depths;
  return gaps.map((gap) => {
    let reachedMm = plan.finePasses * finePassMm;
    for (const [n, { passes }] of plan.steps.entries()) {
      const mask = masks[n]!;
      const x = Math.min(mask.widthPx - 1, Math.floor(gap.xMm / cellMm));
      const y = Math.min(mask.heightPx - 1, Math.floor(gap.yMm / cellMm));
      if (getBit(mask, x, y) === 1) reachedMm += passes * clearPassMm;
    }
    return { ...gap, neededMm: neededDepthMm(gap.widthMm), reachedMm };
  });
}
