import type { Light } from '../proof/colour.ts';
import { parseColour } from '../proof/colour.ts';

/** Share of a spot `u` across and `v` down (in mm) that a hatching covers, for pixels of `pxMm`. */
type Hatch = (u: number, v: number, pxMm: number) => number;

/** How one kind of fault is drawn. */
export interface Mark {
  readonly light: Light;
  readonly hatch: Hatch;
}

const PERIOD_MM = 1.3;
const LINE_MM = 0.24;

/** Lines at `at` = 0, ± one period, …; edges are softened over one pixel. */
function line(at: number, pxMm: number): number {
  const away = Math.abs(at - PERIOD_MM * Math.round(at / PERIOD_MM));
  return Math.min(1, Math.max(0, (LINE_MM / 2 - away) / pxMm + 0.5));
}

const level: Hatch = (_, v, pxMm) => line(v, pxMm);
const upright: Hatch = (u, _, pxMm) => line(u, pxMm);
const rising: Hatch = (u, v, pxMm) => line((u + v) * Math.SQRT1_2, pxMm);
const falling: Hatch = (u, v, pxMm) => line((u - v) * Math.SQRT1_2, pxMm);
const both =
  (a: Hatch, b: Hatch): Hatch =>
  (u, v, pxMm) =>
    Math.max(a(u, v, pxMm), b(u, v, pxMm));

const dots: Hatch = (u, v, pxMm) => {
  const [x, y] = [u - PERIOD_MM * Math.round(u / PERIOD_MM), v - PERIOD_MM * Math.round(v / PERIOD_MM)];
  return Math.min(1, Math.max(0, (1.4 * LINE_MM - Math.hypot(x, y)) / pxMm + 0.5));
};

const dashes: Hatch = (u, v, pxMm) => {
  const row = Math.round(v / PERIOD_MM);
  const along = u / PERIOD_MM + (row & 1 ? 0.5 : 0);
  return Math.abs(along - Math.round(along)) < 0.3 ? line(v, pxMm) : 0;
};

/**
 * The eight colours of M. Okabe & K. Ito, Color Universal Design (2008), told apart by eyes of every kind; values
 * from memory. The order puts those that are strong on a light print first; the hatchings tell kinds apart
 * without any colour.
 */
export const MARKS: readonly Mark[] = (
  [
    ['#d55e00', rising], // vermillion
    ['#0072b2', falling], // blue
    ['#009e73', level], // bluish green
    ['#cc79a7', upright], // reddish purple
    ['#e69f00', both(rising, falling)], // orange
    ['#56b4e9', dots], // sky blue
    ['#000000', dashes], // black
    ['#f0e442', both(level, upright)], // yellow
  ] as const
).map(([colour, hatch]) => ({ light: parseColour(colour, 'mark'), hatch }));
