import { EtchError } from '../errors.ts';
import { densityOf, effectiveCoverage, lightnessOf, reflectanceOf } from './density.ts';
import { rising } from './monotone.ts';
import type { ProofReading } from './read-proof.ts';
import { agreeing, type ReadingWarning, type Step, stepsOf } from './steps.ts';

/** One tone of a measured curve. */
export interface CurveKnot {
  /** Ink tone in the file, 0 … 1. */
  readonly share: number;
  /** Share of the way from printed white to printed solid, in light (Murray–Davies), 0 … 1; never falls. */
  readonly printed: number;
  /** Uncertainty of `printed`, one standard error. */
  readonly plusMinus: number;
  /** Density above bare paper, as read. */
  readonly density: number;
  /** CIE L* relative to bare paper, as read. */
  readonly lightness: number;
}

/** What proofs of a test plate come to. */
export interface MeasuredCurve {
  readonly knots: readonly CurveKnot[];
  /** Density above bare paper of the printed white: plate tone. */
  readonly whiteDensity: number;
  /** Density above bare paper of the darkest tone. */
  readonly solidDensity: number;
  /** First ink tone that reaches 95 % of the density range, in %. */
  readonly capPercent: number;
  /** First ink tone that is told from the printed white, in %. */
  readonly floorPercent: number;
  readonly warnings: readonly ReadingWarning[];
}

/** Share of the density range at which a tone counts as solid, and density at which one counts as seen (common practice). */
const CAP_RANGE = 0.95;
const FLOOR_DENSITY = 0.03;

/** Density range below which there is nothing to correct. */
const LEAST_RANGE = 0.2;

/** A fall after the darkest tone by more standard errors than this is open bite, not noise. */
const FALL_SIGMAS = 3;

/** First place where straight lines through knots reach a height, in knots' x. */
function firstReaching(xs: readonly number[], ys: readonly number[], height: number): number {
  const at = ys.findIndex((y) => y >= height - 1e-12);
  if (at <= 0) return xs[Math.max(0, at)]!;
  const [x0, x1, y0, y1] = [xs[at - 1]!, xs[at]!, ys[at - 1]!, ys[at]!];
  return x0 + ((height - y0) / (y1 - y0)) * (x1 - x0);
}

/** Light of each step; steps after the darkest that print lighter again, as open bite does, are held at the darkest. */
function heldLight(steps: readonly Step[]): number[] {
  let darkest = 0;
  steps.forEach(({ density }, i) => {
    if (density > steps[darkest]!.density) darkest = i;
  });
  const top = steps[darkest]!;
  return steps.map(({ density, sigma }, i) =>
    i > darkest && top.density - density > FALL_SIGMAS * Math.hypot(sigma, top.sigma)
      ? reflectanceOf(top.density)
      : reflectanceOf(density),
  );
}

/**
 * Fits a curve through proofs of one plate. EtchError `refused`: those of `agreeing`, and `no-range` where solid and
 * white cannot be told apart.
 */
export function fitCurve(proofs: readonly ProofReading[]): MeasuredCurve {
  const warnings = agreeing(proofs);
  const steps = stepsOf(proofs);
  const lightErrors = steps.map(({ density, sigma }) => sigma * Math.LN10 * reflectanceOf(density));
  const darkness = rising(
    heldLight(steps).map((light) => -light),
    steps.map(({ readings }) => readings),
  );
  const [white, solid] = [-darkness[0]!, -darkness.at(-1)!];
  const [whiteDensity, solidDensity] = [densityOf(white), densityOf(solid)];
  const range = solidDensity - whiteDensity;
  if (range < LEAST_RANGE) throw noRange(range);
  const knots = steps.map(
    ({ share, density }, i): CurveKnot => ({
      share,
      printed: effectiveCoverage(densityOf(-darkness[i]!) - whiteDensity, range),
      plusMinus: lightErrors[i]! / (white - solid),
      density,
      lightness: lightnessOf(reflectanceOf(density)),
    }),
  );
  const shares = steps.map(({ share }) => share * 100);
  const above = darkness.map((dark) => densityOf(-dark) - whiteDensity);
  return {
    knots,
    warnings,
    whiteDensity,
    solidDensity,
    capPercent: firstReaching(shares, above, CAP_RANGE * range),
    floorPercent: firstReaching(shares, above, FLOOR_DENSITY),
  };
}

const noRange = (range: number): EtchError =>
  new EtchError(
    'refused',
    'no-range',
    `Reading proofs: the darkest tone is only ${range.toFixed(2)} in density above the printed white; at least ${LEAST_RANGE} is wanted`,
    'Look at the print: was it inked, and did the plate etch at all?',
  );
