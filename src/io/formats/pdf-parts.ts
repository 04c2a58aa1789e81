/** What the writer and the reader of PDF plates must agree on. */

/** One inch in default user space (ISO 32000-1, 8.3.2.3). */
const POINTS_PER_INCH = 72;

/** PDF numbers are written to a millionth, so the page is cut there: 0.35 nm on paper. */
export const pointsFor = (sizePx: number, dpi: number): number =>
  Math.round(((sizePx * POINTS_PER_INCH) / dpi) * 1e6) / 1e6;

export const dpiOfPoints = (sizePx: number, points: number): number => (sizePx * POINTS_PER_INCH) / points;

/**
 * Rows of a band, and each band's packed bytes and Adler-32 in turn, so that bands can be read back one
 * by one; names that begin with XX are free for private use (ISO 32000-1, Annex E).
 */
export const PRIVATE_ROWS = 'XXBandRows';
export const PRIVATE_BANDS = 'XXBands';

/** Lays the image, a unit square, over the whole page, whose y axis already points down (8.3.4, 8.9.5.1). */
export const contentOf = (widthPt: number, heightPt: number): string =>
  `q ${widthPt} 0 0 ${-heightPt} 0 ${heightPt} cm /Plate Do Q`;
