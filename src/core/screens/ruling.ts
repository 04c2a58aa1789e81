import * as z from 'zod';
import { EtchError } from '../errors.ts';
import { MM_PER_INCH } from '../geometry.ts';
import type { ScreenPlace, Trim } from './contract.ts';
import type { Narrowest } from './held.ts';

/** Coarsest and finest ruling that can be asked for. */
const COARSEST_LPI = 10;
const FINEST_LPI = 300;

const MARKS_TO_A_PERIOD = 3;

/** Setting of all ruled screens: 10 to 300 lpi. */
export const rulingLpi = z
  .number()
  .min(COARSEST_LPI)
  .max(FINEST_LPI)
  .optional()
  .describe('ruling: rows of dots, or lines, to an inch of plate')
  .meta({ unit: 'lpi', unlessGiven: 'three of the narrowest marks that hold to a period' });

/** Setting of all ruled screens: 0 to 180 degrees, 45 unless given. */
export const angleDeg = z
  .number()
  .min(0)
  .max(180)
  .default(45)
  .describe('angle of the rows, counter-clockwise from the level as the print is seen')
  .meta({ unit: 'degrees' });

/**
 * Narrowest runs of ink and of paper in the pattern. n fired pixels etch n − 1 pitches and a spot, n between fired ones
 * keep n + 1 pitches less a spot. A spot that nobody has measured may cost room so, but gives none.
 */
export function narrowestOf(place: ScreenPlace): Narrowest {
  const spread = place.spotPx - 1;
  const [gain, loss] = place.allowsForSpot ? [spread, spread] : [Math.min(0, spread), Math.max(0, spread)];
  const whole = (px: number): number => Math.max(1, Math.ceil(px - 1e-6));
  const etchedPx = whole(place.minEtchedPx - gain);
  const keptPx = whole(place.minKeptPx + loss);
  return place.etchedSide === 'ink'
    ? { inkPx: etchedPx, paperPx: keptPx }
    : { inkPx: keptPx, paperPx: etchedPx };
}

/**
 * Flat tones hold by their pattern; where the picture's edges cut through it, what is left of a dot or a line may not. This
 * takes such pieces away, from marks and from lands, and leaves flat tones alone: it opens as patterns are held, by what
 * the square or the octagon of the narrowest width covers.
 */
export function fragmentsTrim(place: ScreenPlace): Trim | null {
  const { inkPx, paperPx } = narrowestOf(place);
  const [marks, lands] = place.etchedSide === 'ink' ? [inkPx, paperPx] : [paperPx, inkPx];
  if (Math.max(marks, lands) === 1) return null;
  return {
    marksPx: { x: marks, y: marks },
    landsPx: { x: lands, y: lands },
    withOctagons: true,
    erodePx: { x: 1, y: 1 },
  };
}

/** Length of one period of a ruling of `lpi`, in pixels of the plate. */
export const periodPx = (lpi: number, { pxPerMm }: ScreenPlace): number => (pxPerMm * MM_PER_INCH) / lpi;

/** Ruling of a period. */
export const lpiOf = (px: number, { pxPerMm }: ScreenPlace): number => (pxPerMm * MM_PER_INCH) / px;

/**
 * The ruling asked for, in lpi; else three of the narrowest marks or lands to a period, nine to a cell, within 10 to 300 lpi: the smallest dot that holds is a ninth of full tone
 * at most. Finer loses lights and darks, coarser loses drawing.
 */
export function rulingFor(asked: number | undefined, place: ScreenPlace): number {
  if (asked !== undefined) return asked;
  const { inkPx, paperPx } = narrowestOf(place);
  return Math.min(
    FINEST_LPI,
    Math.max(COARSEST_LPI, lpiOf(MARKS_TO_A_PERIOD * Math.max(inkPx, paperPx), place)),
  );
}

/** What is said where a ruling leaves no room for marks and lands; `why` in words, such as `leaves no tones`. */
export function tooFine(lpi: number, place: ScreenPlace, why: string): EtchError {
  const { inkPx, paperPx } = narrowestOf(place);
  const mm = (px: number): string => `${(px / place.pxPerMm).toFixed(2)} mm`;
  const dpi = Math.round(place.pxPerMm * MM_PER_INCH);
  const held = Math.floor(rulingFor(undefined, place));
  return new EtchError(
    'usage',
    'ruling-too-fine',
    `A ruling of ${Number(lpi.toFixed(1))} lpi ${why} at ${dpi} dpi, ` +
      `with ink at least ${mm(inkPx)} and paper at least ${mm(paperPx)} wide`,
    held < lpi
      ? `Ask for ${held} lpi or fewer, or leave the ruling out.`
      : 'No ruling has room for them: take another screen, or a sheet that holds finer marks.',
  );
}
