import { Matrix, solve } from 'ml-matrix';
import { EtchError } from '../errors.ts';
import type { BoxMm, TestPlateLayout } from '../testplate/layout.ts';
import { densityOf, reflectanceOf } from './density.ts';
import { type Homography, scaleAt, through } from './homography.ts';
import { FULL_LIGHT, type GreyScan } from './scan.ts';

/** Light of bare paper everywhere on the plate, as the scan saw it. */
export interface Paper {
  /** Light, 0 … 1, that bare paper has in the scan at a place on the plate, in mm. */
  lightAt(xMm: number, yMm: number): number;
  /** Density of the plate's own white above bare paper: plate tone, or the dust of a cleared floor. */
  readonly plateToneDensity: number;
  /** How far the samples lie from the surface, in density: grain of the paper and light that no quadric follows. */
  readonly sigmaDensity: number;
  /** Share of the paper's pixels that have the scan's brightest code. */
  readonly clipped: number;
}

/** Distances from the plate's edge at which paper is looked for; nearer lie bevel and dirt of the plate mark. */
const FRAME_MM = [2.5, 4, 6, 8.5] as const;

const SPACING_MM = 9;

/** Half a side of a sample of paper. */
const HALF_MM = 0.5;

const SAMPLES_A_SIDE = 4;

const ROUNDS = { absolute: 7, biweight: 5 } as const;

/** Change of every coefficient from one round to the next, in density, below which more rounds are not worth it. */
const SETTLED = { absolute: 1e-3, biweight: 1e-4 } as const;

/** Residuals beyond so many standard deviations count nothing (J. W. Tukey's biweight; 4.685 for 95 % efficiency). */
const BIWEIGHT = 4.685;

/** Grain that any paper has, in density: below it no sample is thrown out. */
const LEAST_SIGMA = 0.003;

/** Samples of one side needed to know the light there, and sides. */
const LEAST_A_SIDE = 6;
const LEAST_SIDES = 3;

interface Sample {
  readonly x: number;
  readonly y: number;
  readonly density: number;
  /** On the plate, where its own white lies over the paper. */
  readonly inside: 0 | 1;
  readonly side: number;
}

/** Codes of a square of paper, brightest last; null where it reaches out of the scan. */
function codesAt(
  { widthPx, heightPx, codes }: GreyScan,
  h: Homography,
  x: number,
  y: number,
): Uint16Array | null {
  const taken = new Uint16Array(SAMPLES_A_SIDE ** 2);
  // Over so short a way the angle of view bends nothing
  const [left, top] = through(h, x - HALF_MM, y - HALF_MM);
  const [acrossX, acrossY] = through(h, x + HALF_MM, y - HALF_MM);
  const [downX, downY] = through(h, x - HALF_MM, y + HALF_MM);
  const last = SAMPLES_A_SIDE - 1;
  const [ax, ay, dx, dy] = [acrossX - left, acrossY - top, downX - left, downY - top].map(
    (way) => way / last,
  );
  for (let j = 0; j <= last; j++) {
    for (let i = 0; i <= last; i++) {
      const px = Math.floor(left + i * ax! + j * dx!);
      const py = Math.floor(top + i * ay! + j * dy!);
      if (!(px >= 0 && py >= 0 && px < widthPx && py < heightPx)) return null;
      taken[j * SAMPLES_A_SIDE + i] = codes[py * widthPx + px]!;
    }
  }
  return taken.sort();
}

/** Places in the frame around the plate, with the side each lies on. */
function framePlaces({ widthMm, heightMm }: TestPlateLayout): { x: number; y: number; side: number }[] {
  const places: { x: number; y: number; side: number }[] = [];
  for (const off of FRAME_MM) {
    for (let x = 0; x <= widthMm; x += SPACING_MM) {
      places.push({ x, y: -off, side: 0 }, { x, y: heightMm + off, side: 1 });
    }
    for (let y = 0; y <= heightMm; y += SPACING_MM) {
      places.push({ x: -off, y, side: 2 }, { x: widthMm + off, y, side: 3 });
    }
  }
  return places;
}

/** Middles of the boxes of the plate on which nothing is etched or inked. */
const bareBoxes = ({ paperZones, patches }: TestPlateLayout): BoxMm[] => [
  ...paperZones,
  ...patches.filter(({ share }) => share === 0),
];

/**
 * Fits the light of bare paper: a quadric of its density over the plate, through paper around the plate and bare
 * places on it, what does not fit left out. The plate's own white is one more unknown, the same all over the plate.
 * EtchError `refused` `no-paper` where fewer than three sides of the plate show paper.
 */
export function fitPaper(scan: GreyScan, h: Homography, layout: TestPlateLayout): Paper {
  const { widthMm, heightMm } = layout;
  const samples: Sample[] = [];
  const top = scan.light.length - 1;
  let [clipped, seen] = [0, 0];
  const take = (x: number, y: number, inside: 0 | 1, side: number): void => {
    const codes = codesAt(scan, h, x, y);
    if (!codes) return;
    const light = scan.light[codes[codes.length >> 1]!]! / FULL_LIGHT;
    if (light > 0) samples.push({ x, y, density: densityOf(light), inside, side });
    if (inside) return;
    seen += codes.length;
    for (const code of codes) if (code === top) clipped++;
  };
  for (const { x, y, side } of framePlaces(layout)) take(x, y, 0, side);
  for (const box of bareBoxes(layout)) take(box.xMm + box.widthMm / 2, box.yMm + box.heightMm / 2, 1, 4);
  const sides = [0, 1, 2, 3].filter((side) => samples.filter((s) => s.side === side).length >= LEAST_A_SIDE);
  if (sides.length < LEAST_SIDES) throw noPaper(sides.length);

  const terms = (x: number, y: number): number[] => {
    const [u, v] = [(2 * x) / widthMm - 1, (2 * y) / heightMm - 1];
    return [1, u, v, u * u, u * v, v * v];
  };
  const { coefficients, sigma } = robustFit(
    samples.map(({ x, y, inside }) => [...terms(x, y), inside]),
    samples.map(({ density }) => density),
  );
  const [c0, c1, c2, c3, c4, c5] = coefficients;
  return {
    lightAt: (x, y) => {
      const [u, v] = [(2 * x) / widthMm - 1, (2 * y) / heightMm - 1];
      return reflectanceOf(c0! + u * (c1! + u * c3! + v * c4!) + v * (c2! + v * c5!));
    },
    plateToneDensity: coefficients[6]!,
    sigmaDensity: sigma,
    clipped: clipped / seen,
  };
}

/** Weighted least squares by its normal equations; the terms lie within −1 … 1, so they are well-conditioned. */
function leastSquares(rows: readonly number[][], wanted: readonly number[], weights: Float64Array): number[] {
  const n = rows[0]!.length;
  const square = new Float64Array(n * n);
  const right = new Float64Array(n);
  for (let k = 0; k < rows.length; k++) {
    const [row, weight] = [rows[k]!, weights[k]!];
    if (weight === 0) continue;
    for (let i = 0; i < n; i++) {
      const weighted = weight * row[i]!;
      right[i] = right[i]! + weighted * wanted[k]!;
      for (let j = 0; j <= i; j++) square[i * n + j] = square[i * n + j]! + weighted * row[j]!;
    }
  }
  for (let i = 0; i < n; i++) for (let j = i + 1; j < n; j++) square[i * n + j] = square[j * n + i]!;
  return solve(Matrix.from1DArray(n, n, square), Matrix.columnVector(right)).to1DArray();
}

/** Least absolute residuals first, which no minority can pull over; then Tukey's biweight about them. */
function robustFit(rows: number[][], wanted: number[]): { coefficients: number[]; sigma: number } {
  const weights = new Float64Array(rows.length).fill(1);
  const off = new Float64Array(rows.length);
  let coefficients: number[] = [];
  let sigma = 0;
  for (const way of ['absolute', 'biweight'] as const) {
    for (let round = 0; round < ROUNDS[way]; round++) {
      const before = coefficients;
      coefficients = leastSquares(rows, wanted, weights);
      for (let k = 0; k < off.length; k++) {
        const row = rows[k]!;
        let residual = -wanted[k]!;
        for (let i = 0; i < row.length; i++) residual += row[i]! * coefficients[i]!;
        off[k] = Math.abs(residual);
      }
      // A normal spread has its median deviation at 0.6745 standard deviations
      sigma = off.slice().sort()[off.length >> 1]! / 0.6745;
      if (coefficients.every((value, i) => Math.abs(value - (before[i] ?? Infinity)) < SETTLED[way])) break;
      if (way === 'absolute') weighAbsolute(off, weights);
      else weighBiweight(rows, off, sigma, weights);
    }
    weighBiweight(rows, off, sigma, weights);
  }
  return { coefficients, sigma };
}

function weighAbsolute(off: Float64Array, weights: Float64Array): void {
  for (let k = 0; k < off.length; k++) weights[k] = 1 / Math.max(1e-4, off[k]!);
}

function weighBiweight(rows: number[][], off: Float64Array, sigma: number, weights: Float64Array): void {
  const limit = BIWEIGHT * Math.max(LEAST_SIGMA, sigma);
  for (let k = 0; k < off.length; k++) {
    const r = off[k]!;
    // Bare places keep a little weight, or the plate's own white would be unknown
    weights[k] = Math.max(rows[k]![6] ? 1e-3 : 0, r < limit ? (1 - (r / limit) ** 2) ** 2 : 0);
  }
}

const noPaper = (sides: number): EtchError =>
  new EtchError(
    'refused',
    'no-paper',
    `Reading a scan: bare paper was seen along ${sides} of the plate's four sides, and its white is what all tones are measured from`,
    'Scan the print with at least 10 mm of paper around the plate.',
  );

/** Pixels of the scan along a side in mm, at a place. */
export const sidePx = (h: Homography, xMm: number, yMm: number, sideMm: number): number =>
  scaleAt(h, xMm, yMm) * sideMm;
