import type { TestPatch } from '../testplate/layout.ts';
import { densityOf, lightnessOf } from './density.ts';
import { type Homography, through } from './homography.ts';
import { type Paper, sidePx } from './paper.ts';
import type { GreyScan } from './scan.ts';

/** What a scan says of one patch. */
export interface PatchReading {
  readonly id: string;
  readonly zone: TestPatch['zone'];
  /** Ink tone asked for, 0 … 1. */
  readonly share: number;
  /** Reflectance relative to bare paper. */
  readonly reflectance: number;
  /** Its standard error, from the unevenness within the patch. */
  readonly sigma: number;
  /** Density above bare paper. */
  readonly density: number;
  /** CIE L* with bare paper at 100. */
  readonly lightness: number;
  /** Share of the patch left out as specks. */
  readonly specks: number;
  /** Pixels of the scan along its shorter side. */
  readonly sidePx: number;
  /** Share of its pixels with the scan's darkest code. */
  readonly clipped: number;
}

/** Middle part of a patch that is read: its edges are blurred, and ink gathers there. */
const INNER = 0.6;

/**
 * A patch is read in so many blocks a side. Specks are told by blocks, not by pixels: a pixel of a screened tint is
 * either ink or paper, and leaving out the rarer kind would change the tone.
 */
const BLOCKS = 6;

/** Blocks farther than this from the middle one, in standard deviations, are specks; and a difference no speck makes. */
const SPECK = { sigmas: 4.5, least: 0.004 } as const;

/** More blocks than these are no specks but the sparse marks of a coarse tint, and all count. */
const MOST_SPECKS = 3;

/** Pixels from one reading to the next. */
const GRID_PX = 2;

/** Readings along a side of a block, at least. */
const LEAST_READINGS = 6;

/** Light below which a reflectance is not told from none. */
const DARKEST = 1e-4;

const medianOf = (values: Float64Array): number => {
  const sorted = Float64Array.from(values).sort();
  const half = sorted.length >> 1;
  return sorted.length % 2 ? sorted[half]! : (sorted[half - 1]! + sorted[half]!) / 2;
};

/** Sums over readings: light, and how many have the darkest code. */
interface Sums {
  light: number;
  darkest: number;
}

/** Adds readings at even steps along a line within the scan, by the nearest pixels. */
function addLine(
  { widthPx, codes, light }: GreyScan,
  from: readonly [x: number, y: number],
  to: readonly [x: number, y: number],
  count: number,
  sums: Sums,
): void {
  const [stepX, stepY] = [(to[0] - from[0]) / count, (to[1] - from[1]) / count];
  let [x, y] = [from[0] + stepX / 2, from[1] + stepY / 2];
  let sum = 0;
  let darkest = 0;
  for (let i = 0; i < count; i++) {
    const code = codes[Math.floor(y) * widthPx + Math.floor(x)]!;
    if (code === 0) darkest++;
    sum += light[code]!;
    x += stepX;
    y += stepY;
  }
  sums.light += sum;
  sums.darkest += darkest;
}

/** Reads one patch that lies in the scan whole. */
export function readPatch(scan: GreyScan, h: Homography, paper: Paper, patch: TestPatch): PatchReading {
  const { widthMm, heightMm } = patch;
  const [middleX, middleY] = [patch.xMm + widthMm / 2, patch.yMm + heightMm / 2];
  const shorterPx = sidePx(h, middleX, middleY, Math.min(widthMm, heightMm));
  const [blockX, blockY] = [(INNER * widthMm) / BLOCKS, (INNER * heightMm) / BLOCKS];
  const readings = (mm: number): number =>
    Math.max(LEAST_READINGS, Math.ceil(sidePx(h, middleX, middleY, mm) / GRID_PX));
  const [countX, countY] = [readings(blockX), readings(blockY)];
  const means = new Float64Array(BLOCKS * BLOCKS);
  let darkest = 0;
  for (let block = 0; block < means.length; block++) {
    const left = middleX + ((block % BLOCKS) - BLOCKS / 2) * blockX;
    const top = middleY + (Math.floor(block / BLOCKS) - BLOCKS / 2) * blockY;
    const sums: Sums = { light: 0, darkest: 0 };
    for (let j = 0; j < countY; j++) {
      const y = top + ((j + 0.5) / countY) * blockY;
      // Over so short a way the angle of view bends nothing
      addLine(scan, through(h, left, y), through(h, left + blockX, y), countX, sums);
    }
    darkest += sums.darkest;
    means[block] = sums.light / (countX * countY) / paper.lightAt(left + blockX / 2, top + blockY / 2);
  }
  const middle = medianOf(means);
  const deviation = medianOf(means.map((mean) => Math.abs(mean - middle))) / 0.6745;
  const limit = Math.max(SPECK.least, SPECK.sigmas * deviation);
  const near = means.filter((mean) => Math.abs(mean - middle) <= limit);
  const isTint = patch.share > 0 && patch.share < 1;
  const kept = isTint && means.length - near.length > MOST_SPECKS ? means : near;
  const mean = kept.reduce((sum, value) => sum + value, 0) / kept.length;
  const variance = kept.reduce((sum, value) => sum + (value - mean) ** 2, 0) / Math.max(1, kept.length - 1);
  const reflectance = Math.max(DARKEST, mean);
  return {
    id: patch.id,
    zone: patch.zone,
    share: patch.share,
    reflectance,
    sigma: Math.sqrt(variance / kept.length),
    density: densityOf(reflectance),
    lightness: lightnessOf(reflectance),
    specks: 1 - kept.length / means.length,
    sidePx: shorterPx,
    clipped: darkest / (means.length * countX * countY),
  };
}

/** Whether a patch lies in the scan whole. */
export function inScan({ widthPx, heightPx }: GreyScan, h: Homography, patch: TestPatch): boolean {
  return [0, 1, 2, 3].every((corner) => {
    const [x, y] = through(
      h,
      patch.xMm + (corner % 2) * patch.widthMm,
      patch.yMm + (corner >> 1) * patch.heightMm,
    );
    return x >= 0 && y >= 0 && x <= widthPx && y <= heightPx;
  });
}
