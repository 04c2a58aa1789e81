import { type Beam, type SpotShape, spotRegions } from './regions.ts';

/** Share of a solid, every pixel of it fired, that is etched, 0 … 1: below 1 gaps stand between the marks. */
export const solidShare = (shape: SpotShape): number =>
  Math.min(
    1,
    spotRegions(shape).reduce((sum, { areaPx }) => sum + areaPx, 0),
  );

/** No beam leaves gaps in a solid from this width on: the diagonal of a pixel. */
const CLOSED_PX = Math.SQRT2;
const HALVINGS = 20;

/** Narrowest spot, in pixels, whose solid etches such a share (0 … 1). */
export function spotPxForSolid(share: number, beam: Beam): number {
  let [short, wide] = [0, CLOSED_PX];
  for (let i = 0; i < HALVINGS; i++) {
    const spotPx = (short + wide) / 2;
    if (solidShare({ spotPx, beam }) < share) short = spotPx;
    else wide = spotPx;
  }
  return wide;
}
