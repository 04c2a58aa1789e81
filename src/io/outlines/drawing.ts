import type { LinePage, PointMm } from '../../core/outlines/contract.ts';

/** A page of outlines. */
export interface OutlinePage extends LinePage {
  /** Six hexadecimal digits, sRGB. */
  readonly colour: string;
  /** Words for whoever opens the file; never drawn. */
  readonly title: string;
}

/** Width of the stroke: seen on a screen, and narrower than any cut. */
export const STROKE_MM = 0.1;

/** To a tenth of a micrometre, without an exponent or a minus before nothing. */
export const written = (mm: number): string => {
  const text = (Math.round(mm * 1e4) / 1e4).toFixed(4).replace(/\.?0+$/, '');
  return text === '-0' ? '0' : text;
};

/** Both coordinates of a point, as `written` has them. */
export const writtenPoint = ({ x, y }: PointMm): string => `${written(x)} ${written(y)}`;
