import { totalmem } from 'node:os';
import { constrainedMemory } from 'node:process';
import { strideFor } from '../../core/bitmap.ts';
import { EtchError } from '../../core/errors.ts';
import { mmFor } from '../../core/geometry.ts';
import type { Making } from '../../job/making.ts';
import { judgeTone } from './analyse.ts';

/** What is to be made: a raster that is held in memory whole. */
export interface Raster {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly dpi: number;
}

/** Memory that a kind of work takes at most: so much for itself, and so much for each byte of packed bits. */
export interface Appetite {
  readonly baseBytes: number;
  readonly perPackedByte: number;
  /** Most pixels that its arrays can number; absent where memory ends first. */
  readonly mostPx?: number;
}

/** What is promised for `prepare`, for each plate of a `gang`, and for `check`. */
export const PLATE: Appetite = { baseBytes: 180e6, perPackedByte: 2.5 };
export const CHECK: Appetite = { baseBytes: 260e6, perPackedByte: 2.5 };
/** While areas of a set are shaped, each pixel takes three bytes, and is known by a number of 31 bits. */
export const SET_OF_AREAS: Appetite = { baseBytes: 180e6, perPackedByte: 24 + 2.5, mostPx: 2 ** 31 - 1 };

/** Memory of this machine, or of the share of it that this process may have, in bytes. */
export function memoryHere(total = totalmem(), share = constrainedMemory()): number {
  return share > 0 && share < total ? share : total;
}

const gigabytes = (bytes: number): string => `${(bytes / 1e9).toFixed(1)} GB`;
const millions = (pixels: number): string => `${Math.round(pixels / 1e6).toLocaleString('en-GB')} million`;

function hours(seconds: number): string {
  const minutes = Math.ceil(seconds / 60);
  return minutes < 120 ? `${minutes} minutes` : `${Math.round(minutes / 60)} hours`;
}

/** Resolutions are told in steps of ten. */
const DPI_STEP = 10;

/**
 * Refuses what this machine cannot hold, before any work: too little memory is told by nobody else, the system simply
 * ends the run, minutes later. Throws EtchError `no-memory` with size, memory, the machine's time where it is known, and
 * the resolution that fits.
 */
export function refuseWithoutRoom(
  { widthPx, heightPx, dpi }: Raster,
  { baseBytes, perPackedByte, mostPx = Number.POSITIVE_INFINITY }: Appetite,
  making: Making | null,
  haveBytes = memoryHere(),
): void {
  const pixels = widthPx * heightPx;
  const needBytes = baseBytes + perPackedByte * strideFor(widthPx) * heightPx;
  if (needBytes <= haveBytes && pixels <= mostPx) return;
  const size = { widthMm: mmFor(widthPx, dpi), heightMm: mmFor(heightPx, dpi) };
  const why =
    pixels > mostPx
      ? `this work numbers ${millions(mostPx)} at most`
      : `making it takes up to ${gigabytes(needBytes)} of memory, and there are ${gigabytes(haveBytes)}`;
  const pass = making && judgeTone({ widthPx, heightPx, ...size }, making, { passes: 1 }).time.perPassS;
  const time = pass === null ? '' : `; one pass over it would take the machine about ${hours(pass)}`;
  const fits = Math.min(mostPx, (8 * Math.max(0, haveBytes - baseBytes)) / perPackedByte);
  // a hair less, since rows are padded to whole bytes
  const fitsDpi = Math.floor((dpi * Math.sqrt((0.999 * fits) / pixels)) / DPI_STEP) * DPI_STEP;
  throw new EtchError(
    'refused',
    'no-memory',
    `A plate of ${Math.round(size.widthMm)} × ${Math.round(size.heightMm)} mm at ${dpi} dpi has ${millions(pixels)} pixels; ${why}${time}`,
    fitsDpi > 0
      ? `Up to ${fitsDpi} dpi fit here. Give a lower --dpi, make a smaller plate, or use a computer with more memory.`
      : 'Use a computer with more memory.',
  );
}
