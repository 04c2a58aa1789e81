import type { BoxMm, TestPatch } from '../testplate/layout.ts';
import { densityOf, lightnessOf } from './density.ts';
import { type Homography, through } from './homography.ts';
import { type Paper, sidePx } from './paper.ts';
import { FULL_LIGHT, type GreyScan } from './scan.ts';

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

/** From one reading to the next: pixels at least, and mm as a scan of 300 ppi has them or finer. */
const GRID = { leastPx: 2, mm: 0.13 } as const;

/** Readings along a side of a block, at least. */
const LEAST_READINGS = 6;

/** Light below which a reflectance is not told from none. */
const DARKEST = 1e-4;

const medianOf = (values: Float64Array): number => {
  const sorted = values.slice().sort();
  const half = sorted.length >> 1;
  return sorted.length % 2 ? sorted[half]! : (sorted[half - 1]! + sorted[half]!) / 2;
};

/** Places in the scan are told in 1024ths of a pixel. */
const FINE_BITS = 10;
const FINE = 1 << FINE_BITS;

/** Readings of a patch: steps from one to the next in 1024ths of a pixel, how many a block has, and what was dark. */
interface Grid {
  readonly acrossX: number;
  readonly acrossY: number;
  readonly downX: number;
  readonly downY: number;
  readonly countX: number;
  readonly countY: number;
  /** Readings with the scan's darkest code. */
  darkest: number;
}

/** Light of a block of readings within the scan together, by the nearest pixels. */
function blockLight({ widthPx, codes, light }: GreyScan, left: number, top: number, grid: Grid): number {
  const { acrossX, acrossY, downX, downY, countX, countY } = grid;
  let darkest = 0;
  let total = 0;
  for (let j = 0; j < countY; j++) {
    let x = left + j * downX;
    let y = top + j * downY;
    // of one row, so that it stays a whole number of 31 bits
    let sum = 0;
    for (let i = 0; i < countX; i++) {
      const code = codes[(y >> FINE_BITS) * widthPx + (x >> FINE_BITS)]!;
      if (code === 0) darkest++;
      sum += light[code]!;
      x += acrossX;
      y += acrossY;
    }
    total += sum;
  }
  grid.darkest += darkest;
  return total;
}

/** Reads one patch that lies in the scan whole. */
export function readPatch(scan: GreyScan, h: Homography, paper: Paper, patch: TestPatch): PatchReading {
  const { widthMm, heightMm } = patch;
  const [middleX, middleY] = [patch.xMm + widthMm / 2, patch.yMm + heightMm / 2];
  const pxPerMm = sidePx(h, middleX, middleY, 1);
  const shorterPx = pxPerMm * Math.min(widthMm, heightMm);
  const [blockX, blockY] = [(INNER * widthMm) / BLOCKS, (INNER * heightMm) / BLOCKS];
  const readings = (mm: number): number =>
    Math.max(LEAST_READINGS, Math.ceil(mm / Math.max(GRID.leastPx / pxPerMm, GRID.mm)));
  const [countX, countY] = [readings(blockX), readings(blockY)];
  const [leftMm, topMm] = [middleX - (BLOCKS / 2) * blockX, middleY - (BLOCKS / 2) * blockY];
  // Over so short a way the angle of view bends nothing
  const [x0, y0] = through(h, leftMm, topMm);
  const [x1, y1] = through(h, leftMm + BLOCKS * blockX, topMm);
  const [x2, y2] = through(h, leftMm, topMm + BLOCKS * blockY);
  const step = (from: number, to: number, count: number): number => ((to - from) / (BLOCKS * count)) * FINE;
  const [acrossX, acrossY] = [step(x0, x1, countX), step(y0, y1, countX)];
  const [downX, downY] = [step(x0, x2, countY), step(y0, y2, countY)];
  const grid: Grid = {
    acrossX: Math.round(acrossX),
    acrossY: Math.round(acrossY),
    downX: Math.round(downX),
    downY: Math.round(downY),
    countX,
    countY,
    darkest: 0,
  };
  const readingsOfBlock = countX * countY;
  const means = new Float64Array(BLOCKS * BLOCKS);
  for (let row = 0; row < BLOCKS; row++) {
    for (let column = 0; column < BLOCKS; column++) {
      const [across, down] = [column * countX + 0.5, row * countY + 0.5];
      const x = Math.floor(x0 * FINE + across * acrossX + down * downX);
      const y = Math.floor(y0 * FINE + across * acrossY + down * downY);
      const light = blockLight(scan, x, y, grid) / (readingsOfBlock * FULL_LIGHT);
      const paperLight = paper.lightAt(leftMm + (column + 0.5) * blockX, topMm + (row + 0.5) * blockY);
      means[row * BLOCKS + column] = light / paperLight;
    }
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
    clipped: grid.darkest / (means.length * readingsOfBlock),
  };
}

/** Whether a box on the plate lies in the scan whole. */
export function inScan({ widthPx, heightPx }: GreyScan, h: Homography, box: BoxMm): boolean {
  return [0, 1, 2, 3].every((corner) => {
    const [x, y] = through(h, box.xMm + (corner % 2) * box.widthMm, box.yMm + (corner >> 1) * box.heightMm);
    return x >= 0 && y >= 0 && x <= widthPx && y <= heightPx;
  });
}
