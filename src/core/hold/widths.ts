import type { PlateSide } from './words.ts';

/** How wide pixels come out: the mark of one firing is wider than the pitch, so etched grows and kept shrinks. */
export interface Beam {
  readonly pitchMm: number;
  readonly spotMm: number;
}

/** Width on the plate of n pixels of a side: (n − 1) pitches and a spot if etched, (n + 1) pitches less a spot if kept, at least 0. */
export const widthMm = (side: PlateSide, n: number, { pitchMm, spotMm }: Beam): number =>
  side === 'etched' ? (n - 1) * pitchMm + spotMm : Math.max(0, (n + 1) * pitchMm - spotMm);

/** Pixels of a side that come out at exactly `mm`; not rounded. */
export const widthPx = (side: PlateSide, mm: number, { pitchMm, spotMm }: Beam): number =>
  side === 'etched' ? (mm - spotMm) / pitchMm + 1 : (mm + spotMm) / pitchMm - 1;

/** Fewest pixels of a side that come out at `mm` or wider. */
export const holdsFromPx = (side: PlateSide, mm: number, beam: Beam): number =>
  Math.max(1, Math.ceil(widthPx(side, mm, beam) - 1e-9));

/**
 * Widest gap a depth serves, to 0.01 mm: above it rollers or baren reach the floor. `neededDepthMm` gives the
 * depth a gap of some width needs and must not fall. Infinity if even a gap of 10 m is served.
 */
export function widestGapMm(depthMm: number, neededDepthMm: (gapMm: number) => number): number {
  let served = 0;
  let tooWide = 10_000;
  if (neededDepthMm(tooWide) <= depthMm) return Infinity;
  while (tooWide - served > 0.01) {
    const middle = (served + tooWide) / 2;
    if (neededDepthMm(middle) <= depthMm) served = middle;
    else tooWide = middle;
  }
  return served;
}
