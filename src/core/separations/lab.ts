import { labInto } from '../colour/lab.ts';
import type { Light } from '../proof/colour.ts';

/** CIE 1976 L*a*b* under D65. */
export type Lab = readonly [lightness: number, a: number, b: number];

/** Of linear light, 0 … 1; the white of sRGB is 100, 0, 0. */
export function labOf([red, green, blue]: Light): Lab {
  const lab = new Float64Array(3);
  labInto(red, green, blue, lab);
  return [lab[0]!, lab[1]!, lab[2]!];
}

/** L*, 0 … 100, of linear light, 0 … 1. */
export const lightnessOf = (light: Light): number => labOf(light)[0];

/** Squared distance, ΔE*ab². */
export const apart = (one: Lab, other: Lab): number =>
  (one[0] - other[0]) ** 2 + (one[1] - other[1]) ** 2 + (one[2] - other[2]) ** 2;
