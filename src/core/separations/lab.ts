import type { Light } from '../proof/colour.ts';

/** CIE 1976 L*a*b* (CIE 15:2018, 8.2.1), white D65 as sRGB has it. */
export type Lab = readonly [lightness: number, a: number, b: number];

/** XYZ of sRGB's primaries (IEC 61966-2-1:1999, 5.2), each row over the white it adds up to. */
const X = [0.4124 / 0.9505, 0.3576 / 0.9505, 0.1805 / 0.9505] as const;
const Y = [0.2126, 0.7152, 0.0722] as const;
const Z = [0.0193 / 1.089, 0.1192 / 1.089, 0.9505 / 1.089] as const;

/** Below it the cube root becomes a straight line: (6/29)³. */
const FOOT = 216 / 24389;

const root = (share: number): number => (share > FOOT ? Math.cbrt(share) : ((24389 / 27) * share + 16) / 116);

const dot = ([red, green, blue]: Light, by: readonly [number, number, number]): number =>
  red * by[0] + green * by[1] + blue * by[2];

export function labOf(light: Light): Lab {
  const [fx, fy, fz] = [root(dot(light, X)), root(dot(light, Y)), root(dot(light, Z))];
  return [116 * fy - 16, 500 * (fx - fy), 200 * (fy - fz)];
}

export const lightnessOf = (light: Light): number => 116 * root(dot(light, Y)) - 16;

/** Squared distance, ΔE*ab². */
export const apart = (one: Lab, other: Lab): number =>
  (one[0] - other[0]) ** 2 + (one[1] - other[1]) ** 2 + (one[2] - other[2]) ** 2;
