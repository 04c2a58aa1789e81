import { Matrix, solve } from 'ml-matrix';

/** A flat thing seen at an angle: nine numbers, row by row, that take a place on it to a place in its picture. */
export type Homography = readonly number[];

/** A place on the thing, in mm, or in its picture, in pixels. */
export type Place = readonly [x: number, y: number];

/** Takes a place through. */
export function through(h: Homography, x: number, y: number): [x: number, y: number] {
  const w = h[6]! * x + h[7]! * y + h[8]!;
  return [(h[0]! * x + h[1]! * y + h[2]!) / w, (h[3]! * x + h[4]! * y + h[5]!) / w];
}

/** Pixels in a picture to a millimetre on the thing, at a place: the root of the area one square millimetre takes. */
export function scaleAt(h: Homography, x: number, y: number): number {
  const step = 0.5;
  const [left, right] = [through(h, x - step, y), through(h, x + step, y)];
  const [above, below] = [through(h, x, y - step), through(h, x, y + step)];
  const area = (right[0] - left[0]) * (below[1] - above[1]) - (right[1] - left[1]) * (below[0] - above[0]);
  return Math.sqrt(Math.abs(area));
}

/** Moves places to a mean of nought and a mean distance of √2, so that no number in the system is far larger than another. */
function centring(places: readonly Place[]): Matrix {
  const n = places.length;
  const mx = places.reduce((sum, [x]) => sum + x, 0) / n;
  const my = places.reduce((sum, [, y]) => sum + y, 0) / n;
  const far = places.reduce((sum, [x, y]) => sum + Math.hypot(x - mx, y - my), 0) / n;
  const s = Math.SQRT2 / far;
  return new Matrix([
    [s, 0, -s * mx],
    [0, s, -s * my],
    [0, 0, 1],
  ]);
}

/**
 * The homography that takes four or more places to others, nearest in the algebraic sense where there are more: direct
 * linear transformation, normalised so that it is well-conditioned (R. Hartley, IEEE Trans. PAMI 19, 1997, 580–593; from
 * memory). No three places may lie on a line.
 */
export function homographyOf(from: readonly Place[], to: readonly Place[]): Homography {
  const [normFrom, normTo] = [centring(from), centring(to)];
  const [a, b] = [normFrom.to1DArray(), normTo.to1DArray()];
  const rows: number[][] = [];
  const wanted: number[] = [];
  from.forEach(([x0, y0], i) => {
    const [x, y] = through(a, x0, y0);
    const [u, v] = through(b, to[i]![0], to[i]![1]);
    rows.push([x, y, 1, 0, 0, 0, -u * x, -u * y], [0, 0, 0, x, y, 1, -v * x, -v * y]);
    wanted.push(u, v);
  });
  // The ninth number may be set to 1: it is 0 only where the middle of all places is seen at infinity
  const eight = solve(new Matrix(rows), Matrix.columnVector(wanted)).to1DArray();
  const seen = Matrix.from1DArray(3, 3, [...eight, 1]);
  return solve(normTo, seen.mmul(normFrom)).to1DArray();
}

/** The picture back to the thing: the homography the other way round. */
export const inverted = (h: Homography): Homography =>
  solve(Matrix.from1DArray(3, 3, [...h]), Matrix.eye(3)).to1DArray();

/** How far places lie from where the nearest shift, turn, scale and shear takes them, root of the mean square. */
export function affineMisfit(from: readonly Place[], to: readonly Place[]): number {
  const known = new Matrix(from.map(([x, y]) => [x, y, 1]));
  const wanted = new Matrix(to.map(([x, y]) => [x, y]));
  const left = known.mmul(solve(known, wanted)).sub(wanted).to1DArray();
  return Math.sqrt(left.reduce((sum, off) => sum + off * off, 0) / from.length);
}
