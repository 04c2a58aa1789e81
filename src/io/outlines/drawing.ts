import type { OutlinePath, PointMm } from '../../core/outlines/contract.ts';

/** Lines of one look on a page. */
export interface Lines {
  readonly paths: readonly OutlinePath[];
  /** Single strokes, such as lettering; open. */
  readonly strokes?: readonly (readonly PointMm[])[];
  /** Lengths of dash and gap; none for a full line. */
  readonly dashMm?: readonly [dash: number, gap: number];
}

/** A page of outlines; everything in mm from its top left corner. */
export interface OutlinePage {
  readonly widthMm: number;
  readonly heightMm: number;
  readonly lines: readonly Lines[];
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
