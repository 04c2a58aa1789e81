import type { Bitmap } from '../../core/bitmap.ts';
import { type Gap, gapsOver } from '../../core/clearing/gaps.ts';
import { drawMask, type MaskSize } from '../../core/clearing/mask.ts';
import { checkHold } from '../../core/hold/check.ts';
import type { HoldCheck, HoldNeed } from '../../core/hold/contract.ts';
import { type EtchedArea, openSpot } from '../../core/spot/coverage.ts';
import { columnExtents, type Extents } from '../../core/time/extents.ts';
import { type DrawingWork, openDrawings } from '../looking/drawing.ts';
import { BAND_ROWS, type JudgeSetup } from './setup.ts';

/** What can be asked of a finished plate. */
export interface Judging extends DrawingWork {
  /** Pixels that the beam will really etch in one band of rows. */
  predict(band: number): number;
  /** Looks for what will not hold, for some of the plate's needs. */
  hold(needs: readonly HoldNeed[]): HoldCheck[];
  /** First and last etched pixel of every column. */
  columns(): Extents;
  /** Every cleared area wider than that (mm), as the plate lies. */
  gaps(overMm: number): Gap[];
  /** Draws one of the plate's clearing plates into shared memory. */
  clear(size: MaskSize, mask: Bitmap): void;
}

/** Opens the judging of one plate in this thread. */
export function openJudging(setup: JudgeSetup): Judging {
  const { bitmap, spot, holdLimits } = setup;
  const { pitchMm, spotMm, beam } = spot;
  let area: EtchedArea | undefined;
  return {
    predict(band) {
      area ??= openSpot({ spotPx: spotMm / pitchMm, beam });
      return area(bitmap, band * BAND_ROWS, Math.min((band + 1) * BAND_ROWS, bitmap.heightPx));
    },
    hold: (needs) => checkHold(bitmap, needs, { pitchMm, spotMm, limits: holdLimits }),
    columns: () => columnExtents(bitmap),
    gaps: (overMm) => gapsOver(bitmap, overMm, spot),
    clear: (size, mask) => drawMask(bitmap, size, mask),
    ...openDrawings(setup),
  };
}
