import type { Light } from '../proof/colour.ts';
import { parseColour } from '../proof/colour.ts';

/**
 * Share of each spot of a row, `us` across and `v` down (in mm), that a hatching covers, for pixels of `pxMm`: the first
 * `count`. A row at a time, since numbers handed to one of many functions take memory for each pixel.
 */
type Hatch = (us: Float64Array, v: number, pxMm: number, count: number, shares: Float64Array) => void;

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

const level: Hatch = (_, v, pxMm, count, shares) => {
  shares.fill(line(v, pxMm), 0, count);
};
const upright: Hatch = (us, _, pxMm, count, shares) => {
  for (let i = 0; i < count; i++) shares[i] = line(us[i]!, pxMm);
};
const rising: Hatch = (us, v, pxMm, count, shares) => {
  for (let i = 0; i < count; i++) shares[i] = line((us[i]! + v) * Math.SQRT1_2, pxMm);
};
const falling: Hatch = (us, v, pxMm, count, shares) => {
  for (let i = 0; i < count; i++) shares[i] = line((us[i]! - v) * Math.SQRT1_2, pxMm);
};
const both = (a: Hatch, b: Hatch): Hatch => {
  let others = new Float64Array(0);
  return (us, v, pxMm, count, shares) => {
    if (others.length < count) others = new Float64Array(us.length);
    a(us, v, pxMm, count, shares);
    b(us, v, pxMm, count, others);
    for (let i = 0; i < count; i++) shares[i] = Math.max(shares[i]!, others[i]!);
  };
};

const dots: Hatch = (us, v, pxMm, count, shares) => {
  const y = v - PERIOD_MM * Math.round(v / PERIOD_MM);
  for (let i = 0; i < count; i++) {
    const x = us[i]! - PERIOD_MM * Math.round(us[i]! / PERIOD_MM);
    shares[i] = Math.min(1, Math.max(0, (1.4 * LINE_MM - Math.hypot(x, y)) / pxMm + 0.5));
  }
};

const dashes: Hatch = (us, v, pxMm, count, shares) => {
  const shift = Math.round(v / PERIOD_MM) & 1 ? 0.5 : 0;
  const share = line(v, pxMm);
  for (let i = 0; i < count; i++) {
    const along = us[i]! / PERIOD_MM + shift;
    shares[i] = Math.abs(along - Math.round(along)) < 0.3 ? share : 0;
  }
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
