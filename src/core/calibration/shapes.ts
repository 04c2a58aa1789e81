import { processes } from '../processes/index.ts';
import type { TestFeature, TestPlateLayout } from '../testplate/layout.ts';
import { densityOf } from './density.ts';
import { through } from './homography.ts';
import { profile } from './profile.ts';
import type { ProofReading } from './read-proof.ts';
import { type GreyScan, lightAt } from './scan.ts';

/** What became of one bar, dot, pool or well of a test plate. */
export interface ShapeReading {
  readonly feature: TestFeature;
  readonly holds: boolean;
  /** Width across in mm, of as much full ink or paper as there is light or darkness; null for all but bars. */
  readonly widthMm: number | null;
}

/** Room around a shape that is free of others, in mm. */
const AROUND_MM = 0.3;

const STEP_MM = 0.02;

/** A bar is looked at in pieces; the ends are left out. */
const PIECES = 8;
const INNER = 0.7;

/** Share of its own width, or area, that must be there; scan and paper blur what is fine, but take nothing from this sum. */
const LEAST_THERE = 0.35;

/** Share of a bar's pieces that must be there: one that is broken in two places does not hold. */
const LEAST_PIECES = 0.8;

/** Share of the solid's density that the middle of a pool must have. */
const LEAST_POOL = 0.7;

/** A well is looked at in so many pieces a side, its edges left out; ink shows in one this much darker than white. */
const WELL = { pieces: 3, inner: 0.7, mostDensity: 0.1 } as const;

/** Printed white and solid in reflectance relative to paper. */
interface Ends {
  readonly white: number;
  readonly solid: number;
}

const ROOT = Math.SQRT1_2;

/** Direction across a bar. */
const ACROSS = { x: [0, 1], y: [1, 0], diagonal: [ROOT, ROOT] } as const;

interface Look {
  readonly scan: GreyScan;
  readonly reading: ProofReading;
  readonly ends: Ends;
}

/** Widths in mm of full ink (or paper in ink) across a bar, piece by piece. */
function pieceWidths({ scan, reading, ends }: Look, feature: TestFeature, dark: boolean): number[] {
  const { direction, sizeMm, xMm, yMm, widthMm, heightMm } = feature;
  const across = ACROSS[direction ?? 'x'];
  const [middleX, middleY] = [xMm + widthMm / 2, yMm + heightMm / 2];
  // A bar at 45° has its box's height as its own in y
  const barMm = direction === 'x' ? widthMm : direction === 'y' ? heightMm : heightMm * Math.SQRT2;
  const pieceMm = (INNER * barMm) / PIECES;
  const lengthMm = sizeMm + 2 * AROUND_MM;
  const count = Math.round(lengthMm / STEP_MM);
  const contrast = dark ? ends.solid - ends.white : ends.white - ends.solid;
  const paper = reading.paper.lightAt(middleX, middleY);
  const margin = Math.max(2, Math.round((0.3 * AROUND_MM) / STEP_MM));
  return Array.from({ length: PIECES }, (_, piece) => {
    const along = (piece + 0.5 - PIECES / 2) * pieceMm;
    const line = {
      xMm: middleX + along * across[1],
      yMm: middleY - along * across[0],
      along: across,
      lengthMm,
      widthMm: pieceMm,
    };
    const light = profile(scan, reading.found.toScan, line, count, 8);
    // What lies around is measured on the spot: a plate is not wiped alike everywhere
    let around = 0;
    for (let i = 0; i < margin; i++) around += light[i]! + light[count - 1 - i]!;
    around /= 2 * margin;
    let sum = 0;
    for (const value of light) sum += value - around;
    return (sum / paper / contrast) * (lengthMm / count);
  });
}

function bar(look: Look, feature: TestFeature, dark: boolean): ShapeReading {
  const widths = pieceWidths(look, feature, dark);
  const there = widths.filter((width) => width >= LEAST_THERE * feature.sizeMm).length;
  const mean = widths.reduce((sum, width) => sum + width, 0) / widths.length;
  return { feature, holds: there >= LEAST_PIECES * widths.length, widthMm: mean };
}

/** A dot by its area of full ink (or paper), in a disc of room around it. */
function dot({ scan, reading, ends }: Look, feature: TestFeature, dark: boolean): ShapeReading {
  const { sizeMm, xMm, yMm, widthMm, heightMm } = feature;
  const [middleX, middleY] = [xMm + widthMm / 2, yMm + heightMm / 2];
  const inner = sizeMm / 2 + 0.7 * AROUND_MM;
  const outer = sizeMm / 2 + AROUND_MM;
  const side = Math.ceil(outer / STEP_MM);
  let [rim, rimCount, sum, count] = [0, 0, 0, 0];
  for (let j = -side; j <= side; j++) {
    for (let i = -side; i <= side; i++) {
      const off = Math.hypot(i, j) * STEP_MM;
      if (off > outer) continue;
      const [x, y] = through(reading.found.toScan, middleX + i * STEP_MM, middleY + j * STEP_MM);
      const light = lightAt(scan, x, y);
      if (off > inner) {
        rim += light;
        rimCount++;
      }
      sum += light;
      count++;
    }
  }
  const contrast =
    (dark ? ends.solid - ends.white : ends.white - ends.solid) * reading.paper.lightAt(middleX, middleY);
  const area = ((sum - (rim / rimCount) * count) / contrast) * STEP_MM * STEP_MM;
  const whole = feature.shape === 'disc' ? (Math.PI / 4) * sizeMm * sizeMm : sizeMm * sizeMm;
  return { feature, holds: area >= LEAST_THERE * whole, widthMm: null };
}

/** A pool by the density of its middle: open bite is wiped out there and keeps ink at its edges only. */
function pool({ scan, reading, ends }: Look, feature: TestFeature): ShapeReading {
  const { sizeMm, xMm, yMm, widthMm, heightMm } = feature;
  const [middleX, middleY] = [xMm + widthMm / 2, yMm + heightMm / 2];
  const middleMm = 0.4 * sizeMm;
  const line = { xMm: middleX, yMm: middleY, along: ACROSS.y, lengthMm: middleMm, widthMm: middleMm };
  const light = profile(scan, reading.found.toScan, line, 16, 16);
  const mean = light.reduce((sum, value) => sum + value, 0) / light.length;
  const density = densityOf(Math.max(1e-4, mean / reading.paper.lightAt(middleX, middleY)));
  const white = densityOf(ends.white);
  return { feature, holds: density - white >= LEAST_POOL * (densityOf(ends.solid) - white), widthMm: null };
}

/** A cleared well by the darkest piece of it: the roller dips in somewhere, not everywhere. */
function well({ scan, reading, ends }: Look, feature: TestFeature): ShapeReading {
  const { xMm, yMm, widthMm, heightMm } = feature;
  const { pieces, inner, mostDensity } = WELL;
  const [stepX, stepY] = [(inner * widthMm) / pieces, (inner * heightMm) / pieces];
  let darkest = 0;
  for (let piece = 0; piece < pieces * pieces; piece++) {
    const line = {
      xMm: xMm + widthMm / 2 + ((piece % pieces) - (pieces - 1) / 2) * stepX,
      yMm: yMm + heightMm / 2 + (Math.floor(piece / pieces) - (pieces - 1) / 2) * stepY,
      along: ACROSS.x,
      lengthMm: stepY,
      widthMm: stepX,
    };
    const light = profile(scan, reading.found.toScan, line, 24, 24);
    const mean = light.reduce((sum, value) => sum + value, 0) / light.length;
    const paper = reading.paper.lightAt(line.xMm, line.yMm);
    darkest = Math.max(darkest, densityOf(Math.max(1e-4, mean / paper)));
  }
  return { feature, holds: darkest - densityOf(ends.white) <= mostDensity, widthMm: null };
}

/** Looks at every bar, dot, pool and cleared well of a proof; `ends` are the reflectances of printed white and solid. */
export function readShapes(
  scan: GreyScan,
  layout: TestPlateLayout,
  reading: ProofReading,
  ends: Ends,
): ShapeReading[] {
  const look: Look = { scan, reading, ends };
  const inked = processes[layout.process].prints;
  return layout.features.flatMap((feature): ShapeReading[] => {
    const dark = feature.side === inked;
    if (feature.zone === 'bars') return [bar(look, feature, dark)];
    if (feature.zone === 'dots') return [dot(look, feature, dark)];
    if (feature.zone === 'gaps') return [well(look, feature)];
    return dark ? [pool(look, feature)] : [];
  });
}
