import { type Bitmap, countBits } from '../bitmap.ts';
import { EtchError } from '../errors.ts';
import { lastMade } from '../last-made.ts';
import { openNear } from './near.ts';
import { MAX_SPOT_PX, reachOf, type SpotShape, spotRegions } from './regions.ts';
import { ownUnits, UNITS_PER_PX } from './units.ts';
import { openWide } from './wide.ts';

/** Area that the rows [fromRow, toRow) of a plate lose to the beam, in pixels. Bands add up exactly. */
export type EtchedArea = (etch: Bitmap, fromRow: number, toRow: number) => number;

/**
 * Gets ready to say what a fired pattern really etches: the union of the marks of all fired pixels, counted
 * inside the plate. Bit 1 = fired; outside the plate nothing fires. Rows above and below the range are read
 * from the bitmap. `spotPx` = spot diameter / pitch, above 0 and at most 16; else an EtchError.
 */
export function openSpot(shape: SpotShape): EtchedArea {
  const { spotPx } = shape;
  if (!(spotPx > 0 && spotPx <= MAX_SPOT_PX)) {
    throw new EtchError(
      'usage',
      'spot-out-of-range',
      `Predicting the etched area: the spot is ${Math.ceil(spotPx * 100) / 100} pixels wide; this is done for spots up to ${MAX_SPOT_PX} pixels.`,
      'Give the spot in mm as measured on a test plate, or a plate resolution nearer to it.',
    );
  }
  return areaFor(shape);
}

/** The tables of a spot take some 30 ms, and many plates are judged by the same one. */
const areaFor = lastMade(
  (shape: SpotShape): EtchedArea => {
    const own = ownUnits(shape);
    if (own !== null)
      return (etch, fromRow, toRow) => (firedPixels(etch, fromRow, toRow) * own) / UNITS_PER_PX;
    const reach = reachOf(shape);
    const regions = spotRegions(shape);
    const units = reach.x <= 1 && reach.y <= 1 ? openNear(regions) : openWide(shape, regions);
    return (etch, fromRow, toRow) => units(etch, fromRow, toRow) / UNITS_PER_PX;
  },
  ({ spotPx, beam }) => `${spotPx} ${beam}`,
);

const firedPixels = ({ data, strideBytes }: Bitmap, fromRow: number, toRow: number): number =>
  countBits(data, fromRow * strideBytes, toRow * strideBytes);

/** Share of the whole plate that is etched, 0…1. */
export const predictedCoverage = (etch: Bitmap, shape: SpotShape): number =>
  openSpot(shape)(etch, 0, etch.heightPx) / (etch.widthPx * etch.heightPx);
