import { type Homography, through } from './homography.ts';
import { type GreyScan, lightAt } from './scan.ts';

/** A line of places on the plate, each a mean over a stretch that crosses the line. */
export interface ProfileLine {
  /** Its middle, in mm. */
  readonly xMm: number;
  readonly yMm: number;
  /** Direction it runs in, of length 1. */
  readonly along: readonly [x: number, y: number];
  readonly lengthMm: number;
  /** Width of the stretch that each place is a mean over, square to the line. */
  readonly widthMm: number;
}

/** Light along a line, in `count` places of equal share, each the mean of `across` readings. */
export function profile(
  scan: GreyScan,
  h: Homography,
  { xMm, yMm, along, lengthMm, widthMm }: ProfileLine,
  count: number,
  across: number,
): Float32Array {
  const [ax, ay] = along;
  const light = new Float32Array(count);
  for (let i = 0; i < count; i++) {
    const far = ((i + 0.5) / count - 0.5) * lengthMm;
    let sum = 0;
    for (let j = 0; j < across; j++) {
      const off = ((j + 0.5) / across - 0.5) * widthMm;
      const [x, y] = through(h, xMm + far * ax - off * ay, yMm + far * ay + off * ax);
      sum += lightAt(scan, x, y);
    }
    light[i] = sum / across;
  }
  return light;
}

/** Where a profile crosses a level first, going from place `from` in steps of 1 or −1, in places; null where it does not. */
export function crossing(light: Float32Array, level: number, from: number, step: 1 | -1): number | null {
  for (let i = from; i + step >= 0 && i + step < light.length; i += step) {
    const [here, next] = [light[i]! - level, light[i + step]! - level];
    if (here * next <= 0 && here !== next) return i + 0.5 + (step * here) / (here - next);
  }
  return null;
}
