import { EtchError } from '../errors.ts';
import { MM_PER_INCH } from '../geometry.ts';
import type { TestPlateLayout } from '../testplate/layout.ts';
import { type Area, areasBelow } from './areas.ts';
import type { Found } from './find.ts';
import { inverted, through } from './homography.ts';
import { reduced } from './reduced.ts';
import type { GreyScan, PointPx } from './scan.ts';
import { endOf } from './strip-end.ts';

/** A dark strip of known length that lay beside the print on the glass. */
export interface Ruler {
  readonly pxPerMm: number;
  readonly fromPx: PointPx;
  readonly toPx: PointPx;
}

/** Growth from the plate's file to its print, in %; negative where it shrank. */
export interface Stretch {
  readonly xPercent: number;
  readonly yPercent: number;
}

const THRESHOLD = 0.5;

/** Length over width of a strip, at least; and how much of the rectangle of its moments it fills. */
const LEAST_LONG = 4;
const FILL = { least: 0.9, most: 1.1 } as const;

/** Pixels of the small copy that a strip takes, at least. */
const LEAST_PX = 100;

/** How far a strip may be from the length that the plate's own scale gives it: more than any paper stretches. */
const OFF_LENGTH = 0.05;

/** Length in pixels of the small copy, by its moments. */
const lengthOf = ({ long }: Area): number => Math.sqrt(12 * long);

/**
 * Measures a dark strip beside the plate from end to end: the longest that is about as long as it should be. EtchError `refused` `no-ruler` where
 * there is none. True scale needs a flat-bed scan: one seen at an angle has no single scale.
 */
export function findRuler(scan: GreyScan, layout: TestPlateLayout, found: Found, lengthMm: number): Ruler {
  const small = reduced(scan);
  const toPlate = inverted(found.toScan);
  const wantedPx = (lengthMm * found.ppi) / MM_PER_INCH / small.byPx;
  const strips = areasBelow(small, THRESHOLD, LEAST_PX, Infinity).filter((area) => {
    const { n, x, y, long, short, touchesEdge } = area;
    const [plateX, plateY] = through(toPlate, x * small.byPx, y * small.byPx);
    const outside = plateX < 0 || plateY < 0 || plateX > layout.widthMm || plateY > layout.heightMm;
    const fill = n / (12 * Math.sqrt(long * short));
    return (
      outside &&
      !touchesEdge &&
      long > LEAST_LONG ** 2 * short &&
      fill > FILL.least &&
      fill < FILL.most &&
      Math.abs(lengthOf(area) / wantedPx - 1) < OFF_LENGTH
    );
  });
  const strip = strips.sort((a, b) => b.long - a.long)[0];
  if (!strip) throw noRuler(lengthMm);
  return measured(scan, strip, small.byPx, lengthMm);
}

function measured(scan: GreyScan, strip: Area, byPx: number, lengthMm: number): Ruler {
  const along = [Math.cos(strip.angle), Math.sin(strip.angle)] as const;
  const [x, y] = [strip.x * byPx, strip.y * byPx];
  const seen = {
    x,
    y,
    along,
    lengthPx: lengthOf(strip) * byPx,
    widthPx: Math.sqrt(12 * strip.short) * byPx,
  };
  const [from, to] = [endOf(scan, seen, -1), endOf(scan, seen, 1)];
  if (from === null || to === null) throw noRuler(lengthMm);
  return {
    pxPerMm: (to - from) / lengthMm,
    fromPx: { x: x + from * along[0], y: y + from * along[1] },
    toPx: { x: x + to * along[0], y: y + to * along[1] },
  };
}

/** How much larger the print is than the plate's file, along both sides, from the distances of the fiducials. */
export function stretchOf(found: Found, { fiducials }: TestPlateLayout, { pxPerMm }: Ruler): Stretch {
  const sums = { x: [0, 0], y: [0, 0] };
  fiducials.forEach((a, i) => {
    fiducials.slice(i + 1).forEach((b, j) => {
      const [dx, dy] = [Math.abs(a.xMm - b.xMm), Math.abs(a.yMm - b.yMm)];
      const axis = dy < 0.02 * dx ? 'x' : dx < 0.02 * dy ? 'y' : null;
      if (!axis) return;
      const [p, q] = [found.fiducialsPx[i]!, found.fiducialsPx[i + 1 + j]!];
      sums[axis][0]! += Math.hypot(p[0] - q[0], p[1] - q[1]) / pxPerMm;
      sums[axis][1]! += Math.hypot(dx, dy);
    });
  });
  const percent = ([print, file]: number[]): number => (print! / file! - 1) * 100;
  return { xPercent: percent(sums.x), yPercent: percent(sums.y) };
}

const noRuler = (lengthMm: number): EtchError =>
  new EtchError(
    'refused',
    'no-ruler',
    `Reading a scan: no dark strip of ${lengthMm} mm was found beside the plate`,
    'Lay a straight black strip of known length on the glass beside the print, whole and 5 mm from its plate mark.',
  );
