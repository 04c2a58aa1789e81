import { type FieldShape, grainField } from './field.ts';
import { growPhase, stampOf } from './grains.ts';
import { holdThresholds } from './morphology.ts';
import { ascending, middleShares, placesIn } from './ranks.ts';

/** A grain: its relief, and how small its marks and lands may be, in whole pixels. */
export interface GrainShape extends FieldShape {
  readonly markPx: number;
  /** Further columns of every mark: a beam that stays on over its pixel marks wider along its row. */
  readonly sweptPx: number;
  readonly landPx: number;
}

/** A square that fits into the stamp of a width: wider ones than three pixels are round, and squares would clump them. */
export const heldPx = (widthPx: number): number => (widthPx <= 3 ? widthPx : Math.floor(0.6 * widthPx));

/**
 * Thresholds of a grain on a square that wraps, 0 … 1: a pixel is etched where the etched tone is above. Light tones are
 * whole marks, one after the other, spread evenly; towards half tone every mark grows along the valleys of the
 * relief until they meet in a labyrinth; above half tone lands do the same backwards. A tone t etches the share t of
 * the square, to half of what switches at once. At `periodPx` ≥ 2.5 × the wider of mark and land both hold.
 */
export function grainThresholds(shape: GrainShape): Float64Array {
  const { side, markPx, sweptPx, landPx } = shape;
  const field = grainField(shape);
  const order = ascending(Float32Array.from(field));
  const marked = growPhase({ side, field, order, places: placesIn(order) }, stampOf(markPx, sweptPx));
  const kept = order.slice().reverse();
  const left = growPhase({ side, field, order: kept, places: placesIn(kept) }, stampOf(landPx, 0));
  for (let k = 0; k < order.length >> 1; k++) marked[kept[k]!] = 1 - left[kept[k]!]!;
  const rowsPx = heldPx(markPx);
  const landSidePx = heldPx(landPx);
  const mark = { columnsPx: rowsPx + sweptPx, rowsPx };
  return middleShares(holdThresholds(marked, side, mark, { columnsPx: landSidePx, rowsPx: landSidePx }));
}
