import { type Area, areasBelow } from './areas.ts';
import type { Reduced } from './reduced.ts';

/** A dark area that could be a disc or ring, in pixels of the small copy. */
export interface Blob {
  readonly x: number;
  readonly y: number;
  readonly diameterPx: number;
  readonly kind: 'solid' | 'ring';
  /** How far its shape is from the ideal one, 0 for none. */
  readonly oddness: number;
}

/** Shortest over longest radius that may still be a circle, seen at an angle and blurred. */
const LEAST_ROUND = 0.6;

/** Share of the ellipse of its moments that an area fills: 1 for a disc, 0.6 for a ring half as wide inside. */
const FILL = { solid: 1, ring: 0.6, between: 0.8, least: 0.4, most: 1.1 } as const;

function blobOf({ n, x, y, long, short }: Area): Blob | null {
  const round = Math.sqrt(short / long);
  const spread = Math.sqrt(long * short);
  const fill = n / (4 * Math.PI * spread);
  if (!(round >= LEAST_ROUND && fill >= FILL.least && fill <= FILL.most)) return null;
  const kind = fill < FILL.between ? 'ring' : 'solid';
  // Radius² / 4 is the variance of a disc along a line; (1 + ½²) times that of a ring
  const diameterPx = 4 * Math.sqrt(kind === 'ring' ? spread / 1.25 : spread);
  return { x, y, diameterPx, kind, oddness: Math.abs(fill - FILL[kind]) + (1 - round) };
}

/** Round areas between two diameters that are darker than `threshold` of the paper’s light, 0 … 1; the roundest first, `most` of them. */
export function roundBlobs(
  small: Reduced,
  threshold: number,
  leastPx: number,
  mostPx: number,
  most: number,
): Blob[] {
  const [least, largest] = [0.3 * leastPx * leastPx, 1.2 * mostPx * mostPx];
  return areasBelow(small, threshold, least, largest)
    .filter(({ touchesEdge }) => !touchesEdge)
    .map(blobOf)
    .filter((blob) => blob !== null)
    .filter(({ diameterPx }) => diameterPx >= leastPx && diameterPx <= mostPx)
    .sort((a, b) => a.oddness - b.oddness)
    .slice(0, most);
}
