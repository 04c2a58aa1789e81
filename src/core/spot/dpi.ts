import { MM_PER_INCH } from '../geometry.ts';
import type { Beam } from './regions.ts';

/** Plate resolutions that a spot gives a meaning to, whole dpi. */
export interface SensibleDpi {
  /** Pitch equal to the spot: each pixel draws its own mark. */
  readonly dpi: number;
  /** From here on a solid is etched without ridges between the marks. */
  readonly solidFromDpi: number;
  /** From here on a checkerboard of single pixels burns into one solid: more dpi draws no more detail. */
  readonly mergedFromDpi: number;
  readonly reason: string;
}

/** Spot / pitch at which a solid closes, and at which a checkerboard of single pixels does. */
const CLOSES: Readonly<Record<Beam, { readonly solid: number; readonly checker: number }>> = {
  // the middle of four discs on a square; the middle between four discs on its sides
  pulse: { solid: Math.SQRT2, checker: 2 },
  // rows touch; left and right marks meet where the rows above and below end: 2r − 1 = ¼
  sweep: { solid: 1, checker: 1.25 },
};

/** The plate resolution that suits a spot (mm): pitch about the spot. Hard-edged marks, circle geometry. */
export function sensibleDpi(spotMm: number, beam: Beam): SensibleDpi {
  const atRatio = (spotPx: number): number => (MM_PER_INCH * spotPx) / spotMm;
  const dpi = Math.round(atRatio(1));
  const solidFromDpi = Math.ceil(atRatio(CLOSES[beam].solid));
  const mergedFromDpi = Math.ceil(atRatio(CLOSES[beam].checker));
  const reason =
    `A spot of ${spotMm.toFixed(3)} mm is as wide as the pitch at ${dpi} dpi. Solids etch without ridges from ` +
    `${solidFromDpi} dpi; from ${mergedFromDpi} dpi single pixels burn into each other, and more dpi costs time ` +
    'without drawing more.';
  return { dpi, solidFromDpi, mergedFromDpi, reason };
}
