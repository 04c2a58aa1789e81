import type { Light } from '../proof/colour.ts';

/**
 * CIE X, Y and Z of the red, green and blue of sRGB, each over that of its white (x 0.3127, y 0.3290): primaries of
 * ITU-R BT.709-6, item 1.3. Rows sum to one, so that greys have no colour.
 */
export const xyzShares = sharesOf([
  [0.64, 0.33],
  [0.3, 0.6],
  [0.15, 0.06],
]);

/** X, Y, Z of a colour of Y = 1. */
function ofChromaticity([x, y]: readonly [number, number]): readonly [number, number, number] {
  return [x / y, 1, (1 - x - y) / y];
}

function sharesOf(primaries: readonly (readonly [number, number])[]): Float64Array {
  const [r, g, b] = primaries.map(ofChromaticity) as [Light, Light, Light];
  const white = ofChromaticity([0.3127, 0.329]);
  // Cramer: how much of each primary gives white
  const volume = determinant(r, g, b);
  const amounts = [
    determinant(white, g, b) / volume,
    determinant(r, white, b) / volume,
    determinant(r, g, white) / volume,
  ];
  return Float64Array.from({ length: 9 }, (_, i) => {
    const row = Math.floor(i / 3);
    return (([r, g, b][i % 3] as Light)[row]! * amounts[i % 3]!) / white[row]!;
  });
}

function determinant(p: Light, q: Light, r: Light): number {
  return (
    p[0] * (q[1] * r[2] - q[2] * r[1]) -
    q[0] * (p[1] * r[2] - p[2] * r[1]) +
    r[0] * (p[1] * q[2] - p[2] * q[1])
  );
}

/** Where the cube root begins (CIE 15:2018, 8.2.1.1). */
export const LAB_KNEE = (6 / 29) ** 3;
/** Slope of the straight line below it: 841/108 = (29/6)² / 3 (CIE 15:2018, 8.2.1.1). */
export const LAB_SLOPE = 841 / 108;

const bent = (t: number): number => (t > LAB_KNEE ? Math.cbrt(t) : LAB_SLOPE * t + 4 / 29);

/** CIE 1976 L*, a*, b* under D65, the white of sRGB (white is 100, 0, 0, no adaptation needed), of linear light, red, green and blue 0 … 1, into `lab`. */
export function labInto(red: number, green: number, blue: number, lab: Float64Array): void {
  const m = xyzShares;
  const x = bent(m[0]! * red + m[1]! * green + m[2]! * blue);
  const y = bent(m[3]! * red + m[4]! * green + m[5]! * blue);
  const z = bent(m[6]! * red + m[7]! * green + m[8]! * blue);
  lab[0] = 116 * y - 16;
  lab[1] = 500 * (x - y);
  lab[2] = 200 * (y - z);
}
