import type { Homography } from './homography.ts';
import { crossing, profile } from './profile.ts';
import type { GreyScan } from './scan.ts';

/** Something long and dark in a scan, roughly: its middle, the direction it lies in, its length and width, in pixels. */
export interface StripPx {
  readonly x: number;
  readonly y: number;
  readonly along: readonly [x: number, y: number];
  readonly lengthPx: number;
  readonly widthPx: number;
}

const PX: Homography = [1, 0, 0, 0, 1, 0, 0, 0, 1];

const mean = (part: Float32Array): number => part.reduce((sum, value) => sum + value, 0) / part.length;

/**
 * Where a strip ends that way along it, to a part of a pixel: pixels from its middle, negative the other way; null where
 * no edge is seen. Light there crosses the middle between outside and inside.
 */
export function endOf(scan: GreyScan, strip: StripPx, sign: 1 | -1): number | null {
  const { x, y, along, lengthPx, widthPx } = strip;
  const reach = Math.max(8, 0.6 * widthPx);
  const line = {
    xMm: x + (sign * along[0] * lengthPx) / 2,
    yMm: y + (sign * along[1] * lengthPx) / 2,
    along,
    lengthMm: 2 * reach,
    widthMm: 0.6 * widthPx,
  };
  // Places of half a pixel
  const count = Math.round(4 * reach);
  const light = profile(scan, PX, line, count, Math.max(8, Math.round(0.6 * widthPx)));
  const tenth = Math.max(2, Math.round(count / 10));
  const level = (mean(light.subarray(0, tenth)) + mean(light.subarray(count - tenth))) / 2;
  const at = crossing(light, level, sign > 0 ? 0 : count - 1, sign);
  return at === null ? null : (sign * lengthPx) / 2 + (at / count - 0.5) * 2 * reach;
}
