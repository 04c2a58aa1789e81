import { EtchError } from '../errors.ts';
import { MM_PER_INCH } from '../geometry.ts';
import type { TestPlateLayout } from '../testplate/layout.ts';
import { type Area, areasBelow } from './areas.ts';
import type { Found } from './find.ts';
import { inverted, through } from './homography.ts';
import { reduced } from './reduced.ts';
import type { GreyScan } from './scan.ts';
import { endOf, type StripPx } from './strip-end.ts';
import { LEAST_STEPS, type Wedge } from './wedge-file.ts';

/** One step of a wedge as a scan has it. */
export interface WedgeStep {
  readonly density: number;
  /** Its mean code, 0 … 1 for the brightest. */
  readonly code: number;
  /** Its middle, in mm on the plate's own axes; it lies beside the plate. */
  readonly xMm: number;
  readonly yMm: number;
}

/** Darkness, relative to the paper near by, below which the dark end of a wedge is looked for. */
const THRESHOLDS = [0.5, 0.35, 0.25, 0.65] as const;

/** Pixels of the small copy that the dark end takes, at least, and how much of the rectangle of its moments it fills. */
const LEAST_PX = 40;
const FILL = { least: 0.88, most: 1.12 } as const;

/** How far its height may be from what it should be by the plate's scale. */
const OFF_HEIGHT = 0.15;

/** Middle part of a step that is read, each way, and readings along a side of it. */
const INNER = 0.6;
const READINGS = 24;

/** Least rise of the code from a step to the next lighter one: half a code of 8 bits. */
const LEAST_RISE = 0.5 / 255;

/** A step's two ends may differ by this share of the way to the nearer neighbour; more, and it is not one tone. */
const UNEVEN = 0.35;

interface StepReading {
  readonly code: number;
  /** Difference between its two ends along the wedge. */
  readonly uneven: number;
}

/** Mean of the middle half, which specks do not reach. */
function middleMean(values: Float64Array): number {
  const sorted = values.slice().sort();
  const quarter = sorted.length >> 2;
  const kept = sorted.subarray(quarter, sorted.length - quarter);
  return kept.reduce((sum, value) => sum + value, 0) / kept.length;
}

/** Reads a rectangle of the scan around a place; null where it reaches out of it. */
function readStep(
  { widthPx, heightPx, codes, light }: GreyScan,
  [x, y]: readonly [number, number],
  [ax, ay]: readonly [number, number],
  longPx: number,
  highPx: number,
): StepReading | null {
  const top = light.length - 1;
  const values = new Float64Array(READINGS * READINGS);
  for (let i = 0; i < READINGS; i++) {
    const far = ((i + 0.5) / READINGS - 0.5) * INNER * longPx;
    for (let j = 0; j < READINGS; j++) {
      const off = ((j + 0.5) / READINGS - 0.5) * INNER * highPx;
      const [u, v] = [Math.floor(x + far * ax - off * ay), Math.floor(y + far * ay + off * ax)];
      if (!(u >= 0 && v >= 0 && u < widthPx && v < heightPx)) return null;
      values[i * READINGS + j] = codes[v * widthPx + u]! / top;
    }
  }
  const third = (READINGS / 3) * READINGS;
  const uneven = middleMean(values.subarray(0, third)) - middleMean(values.subarray(values.length - third));
  return { code: middleMean(values), uneven: Math.abs(uneven) };
}

/** How many steps, counted from the darkest, no code tells from the next lighter one. */
function untoldSteps(codes: readonly number[]): number {
  const first = codes.findIndex((code, i) => i + 1 < codes.length && codes[i + 1]! - code >= LEAST_RISE);
  return first < 0 ? codes.length : first;
}

/** What follows the wedge may differ from what lies along it by this share of its lightest two steps' difference. */
const GOES_ON = 0.2;

/** Between a wedge and what is read beside it, in mm: neither its edge nor its shadow. */
const BESIDE_MM = 2;

/** Whether every step from one on is of one tone, and each is lighter than the one before. */
const isWedge = (steps: readonly StepReading[], from: number): boolean =>
  steps.slice(from).every(({ code, uneven }, i, told) => {
    const toLighter = (told[i + 1]?.code ?? Infinity) - code;
    const toDarker = code - (told[i - 1]?.code ?? -Infinity);
    const least = Math.min(toLighter, toDarker);
    return least >= LEAST_RISE && uneven <= UNEVEN * least + LEAST_RISE;
  });

/** What the dark end of a wedge may be: either of its sides may be the one that the steps follow each other along. */
function stripsOf({ n, x, y, long, short, angle }: Area, byPx: number, heightPx: number): StripPx[] {
  const [longPx, shortPx] = [Math.sqrt(12 * long) * byPx, Math.sqrt(12 * short) * byPx];
  const fill = (n * byPx ** 2) / (longPx * shortPx);
  if (fill < FILL.least || fill > FILL.most) return [];
  const ways = [
    { lengthPx: longPx, widthPx: shortPx, turn: angle },
    { lengthPx: shortPx, widthPx: longPx, turn: angle + Math.PI / 2 },
  ];
  return ways
    .filter(({ widthPx }) => Math.abs(widthPx / heightPx - 1) < OFF_HEIGHT)
    .map(({ lengthPx, widthPx, turn }) => ({
      x: x * byPx,
      y: y * byPx,
      along: [Math.cos(turn), Math.sin(turn)],
      lengthPx,
      widthPx,
    }));
}

/**
 * Finds a reference wedge beside the plate and reads its steps, lightest first; darkest steps that the scanner cannot
 * tell from each other are left out. It lies straight, on something light, its steps all of one length. EtchError
 * `refused`: `no-wedge` where nothing dark is as high as it, `wedge-not-read` where what is found has other steps.
 */
export function findWedge(scan: GreyScan, layout: TestPlateLayout, found: Found, wedge: Wedge): WedgeStep[] {
  const small = reduced(scan);
  const toPlate = inverted(found.toScan);
  const pxPerMm = found.ppi / MM_PER_INCH;
  const stepPx = wedge.stepMm * pxPerMm;
  const heightPx = wedge.heightMm * pxPerMm;
  const isBeside = ({ x, y }: Area): boolean => {
    const [plateX, plateY] = through(toPlate, x * small.byPx, y * small.byPx);
    return plateX < 0 || plateY < 0 || plateX > layout.widthMm || plateY > layout.heightMm;
  };
  let isSeen = false;
  for (const threshold of THRESHOLDS) {
    const areas = areasBelow(small, threshold, LEAST_PX, Infinity).filter(
      (area) => !area.touchesEdge && isBeside(area),
    );
    for (const strip of areas.flatMap((area) => stripsOf(area, small.byPx, heightPx))) {
      isSeen = true;
      for (const sign of [1, -1] as const) {
        const steps = stepsFrom(strip, sign);
        if (steps) return steps;
      }
    }
  }
  throw isSeen ? notRead(wedge) : noWedge(wedge);

  /** Whether what follows the lightest step is no part of what lies around the wedge, but one more step. */
  function goesOn({ x, y, along }: StripPx, at: number, steps: readonly StepReading[]): boolean {
    const off = heightPx + BESIDE_MM * pxPerMm;
    const [after, above, below] = [0, -off, off].map((across) => {
      const middle = [x + at * along[0] - across * along[1], y + at * along[1] + across * along[0]] as const;
      return readStep(scan, middle, along, stepPx, heightPx);
    });
    const around = [above, below].filter((reading) => reading !== null && reading !== undefined);
    if (!after || around.length === 0) return false;
    const gap = steps.at(-1)!.code - steps.at(-2)!.code;
    const least = Math.max(LEAST_RISE, GOES_ON * gap);
    // Darker than both sides or lighter than both: a lamp that falls off makes it lie between them
    return [1, -1].some((sign) => around.every(({ code }) => sign * (after.code - code) > least));
  }

  /** Steps from the dark end that lies that way, back over the strip and on into the light; null where they are none. */
  function stepsFrom(strip: StripPx, sign: 1 | -1): WedgeStep[] | null {
    const end = endOf(scan, strip, sign);
    if (end === null) return null;
    const { along } = strip;
    const darkest = wedge.densities.length - 1;
    const readings: StepReading[] = [];
    const middles: (readonly [number, number])[] = [];
    for (let i = 0; i <= darkest; i++) {
      const at = end - sign * (i + 0.5) * stepPx;
      const middle = [strip.x + at * along[0], strip.y + at * along[1]] as const;
      const reading = readStep(scan, middle, along, stepPx, heightPx);
      if (!reading) return null;
      readings.push(reading);
      middles.push(middle);
    }
    if (goesOn(strip, end - sign * (darkest + 1.5) * stepPx, readings)) return null;
    const from = untoldSteps(readings.map(({ code }) => code));
    if (readings.length - from < LEAST_STEPS || !isWedge(readings, from)) return null;
    const steps = readings.map(({ code }, i): WedgeStep => {
      const [xMm, yMm] = through(toPlate, ...middles[i]!);
      return { density: wedge.densities[darkest - i]!, code, xMm, yMm };
    });
    return steps.slice(from).reverse();
  }
}

const noWedge = ({ name, heightMm }: Wedge): EtchError =>
  new EtchError(
    'refused',
    'no-wedge',
    `Reading a scan: nothing dark, straight and ${heightMm} mm high lies beside the plate, so the wedge ${name} is not there`,
    'Lay the wedge on the glass beside the print, whole, straight and 5 mm from its plate mark, with white around it.',
  );

const notRead = ({ name, stepMm, densities }: Wedge): EtchError =>
  new EtchError(
    'refused',
    'wedge-not-read',
    `Reading a scan: what may be the wedge ${name} does not show ${densities.length} even steps of ${stepMm} mm, each darker than the last`,
    'Compare number, length and order of the steps with the file of the wedge; clean it, and scan it whole without automatic contrast.',
  );
