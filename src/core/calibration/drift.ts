import { monotoneCurve } from '../curve.ts';
import { type CurveFile, printedLight } from './curve-file.ts';
import { lightnessOf } from './density.ts';
import type { PatchReading } from './sample.ts';

/** One patch of a control strip beside what the curve says it should be. */
export interface StripPatch {
  readonly share: number;
  readonly lightness: number;
  readonly expected: number;
  /** Lightness today less that of the curve, in L*. */
  readonly off: number;
  readonly holds: boolean;
}

/** How far a later print lies off the day of the curve. */
export interface Drift {
  readonly patches: readonly StripPatch[];
  /** Every patch is as light as on the day the curve was measured. */
  readonly holds: boolean;
}

/** Most difference in L* at which a curve still stands (common practice). */
const MOST_OFF = 3;

/** Compares the control strip of a later print with a curve. RangeError where the reading has no strip. */
export function driftOf(strip: readonly PatchReading[], curve: CurveFile): Drift {
  const patches = strip.filter(({ zone }) => zone === 'strip');
  if (patches.length === 0) throw new RangeError('the reading has no control strip');
  const printed = monotoneCurve(curve.knots.map((knot) => [knot.share, knot.printed]));
  const told = patches.map(({ share, lightness }): StripPatch => {
    const expected = lightnessOf(printedLight(printed.at(share), curve));
    const off = lightness - expected;
    return { share, lightness, expected, off, holds: Math.abs(off) <= MOST_OFF };
  });
  return { patches: told, holds: told.every(({ holds }) => holds) };
}
