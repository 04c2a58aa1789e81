import { EtchError } from '../../errors.ts';
import type { ScreenPlace } from '../contract.ts';

/** A grain's sizes on a plate, in its pixels. */
export interface GrainMeasures {
  readonly periodPx: number;
  /** Narrowest mark and narrowest land, whole pixels. */
  readonly markPx: number;
  readonly landPx: number;
  /** Columns that a beam which stays on over its pixel wants of marks beyond that. */
  readonly sweptPx: number;
  /** Side of the tile that is laid over the plate. */
  readonly sidePx: number;
}

/** Grains in a row of the tile: from so many on, its repeating is not seen on ramps (measured). */
const GRAINS_ACROSS = 64;

/** Smaller tiles show waves of up to 0.7 % of tone that come again with them (measured), and build hardly faster. */
const SMALLEST_SIDE_PX = 512;

/** Larger tiles take seconds to build. */
const LARGEST_SIDE_PX = 1024;

/** Periods below so many marks or lands leave no room for both (measured: lands and marks break). */
const TIGHTEST = 2.5;

/** Whole pixels round a mark up by more than this: a grain that is short by no more is not refused for it. */
const WITHIN = 0.02;

/** Period, in the larger of spot and smallest feature, at which all hold and little detail is lost. */
const COMFORTABLE = 4;

/** A length that is a whole number of pixels but for the last digits is that number. */
const wholePx = (px: number): number => Math.max(1, Math.ceil(px - 1e-6));

type Sizes = Pick<ScreenPlace, 'spotPx' | 'minEtchedPx' | 'minKeptPx'>;

const finestPx = ({ spotPx, minEtchedPx, minKeptPx }: Sizes): number =>
  TIGHTEST * wholePx(Math.max(spotPx, minEtchedPx, minKeptPx));

/** Narrowest mark, in whole pixels: a firing cannot mark less than its spot. */
export const markOf = ({ spotPx, minEtchedPx }: Pick<Sizes, 'spotPx' | 'minEtchedPx'>): number =>
  wholePx(Math.max(spotPx, minEtchedPx));

/**
 * Columns by which marks of the mask are wider than high: those that a beam staying on over its pixel, which marks a pixel more along
 * the row, is wider than the narrowest mark. Without them nothing could be taken off such marks, and lands came out a pixel too narrow.
 */
export function sweptOf(
  place: Pick<ScreenPlace, 'spotPx' | 'minEtchedPx' | 'beam' | 'allowsForSpot'>,
): number {
  const { spotPx, beam, allowsForSpot } = place;
  return allowsForSpot && beam === 'sweep' ? Math.max(0, wholePx(spotPx + 1) - markOf(place)) : 0;
}

/** Grain for a plate where none is asked for: four times what must hold, in mm. */
export function defaultGrainMm(place: ScreenPlace): number {
  const { spotPx, minEtchedPx, minKeptPx, pxPerMm } = place;
  const wanted = COMFORTABLE * Math.max(spotPx, minEtchedPx, minKeptPx);
  return Math.max(wanted, finestPx(place)) / pxPerMm;
}

/** The sizes of a grain; EtchError where it is finer than marks and lands of this plate can be. */
export function measureGrain(grainMm: number, place: ScreenPlace): GrainMeasures {
  const { spotPx, minEtchedPx, minKeptPx, pxPerMm } = place;
  const periodPx = grainMm * pxPerMm;
  if (periodPx < (1 - WITHIN) * finestPx(place)) {
    const um = (mm: number): string => `${Math.ceil(mm * 1000 - 1e-3)} um`;
    throw new EtchError(
      'usage',
      'grain-too-fine',
      `Fitting the grain: ${um(grainMm)} is too fine here, where a mark or a land must be ${um(Math.max(spotPx, minEtchedPx, minKeptPx) / pxPerMm)} wide to hold.`,
      `Ask for a grain of ${um(finestPx(place) / pxPerMm)} or more, or tell of a finer spot or sheet.`,
    );
  }
  let sidePx = SMALLEST_SIDE_PX;
  while (sidePx < GRAINS_ACROSS * periodPx && sidePx < LARGEST_SIDE_PX) sidePx *= 2;
  return {
    periodPx,
    markPx: markOf(place),
    // lands get the same until the sheet says otherwise
    landPx: wholePx(Math.max(spotPx, minKeptPx)),
    sweptPx: sweptOf(place),
    sidePx,
  };
}
