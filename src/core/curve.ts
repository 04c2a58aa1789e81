/** A rising curve through given points. */
export interface Curve {
  /** Height at x; beyond the ends it stays level. */
  at(x: number): number;
  /** The least x whose height is y, to 1e-9 of the curve's width; the nearest end for a y it does not reach. */
  inverse(y: number): number;
}

/** A point that a curve goes through. */
export type Knot = readonly [x: number, y: number];

/** Slope at an end from the two nearest spans, three-point formula, kept from overshooting (as C. Moler's pchip; from memory). */
function endSlope(h0: number, h1: number, d0: number, d1: number): number {
  const slope = ((2 * h0 + h1) * d0 - h0 * d1) / (h0 + h1);
  if (slope * d0 <= 0) return 0;
  return d0 * d1 <= 0 && Math.abs(slope) > 3 * Math.abs(d0) ? 3 * d0 : slope;
}

/** Slopes at all knots: weighted harmonic means of the neighbouring spans (Fritsch & Butland 1984), which never overshoot. */
function slopesOf(widths: readonly number[], rises: readonly number[]): Float64Array {
  const n = widths.length;
  const slopes = new Float64Array(n + 1);
  if (n === 1) return slopes.fill(rises[0]!);
  for (let k = 1; k < n; k++) {
    const [h0, h1, d0, d1] = [widths[k - 1]!, widths[k]!, rises[k - 1]!, rises[k]!];
    if (d0 * d1 <= 0) continue;
    const w0 = 2 * h1 + h0;
    const w1 = h1 + 2 * h0;
    slopes[k] = (w0 + w1) / (w0 / d0 + w1 / d1);
  }
  slopes[0] = endSlope(widths[0]!, widths[1]!, rises[0]!, rises[1]!);
  slopes[n] = endSlope(widths[n - 1]!, widths[n - 2]!, rises[n - 1]!, rises[n - 2]!);
  return slopes;
}

/** Heights made to rise: where one falls below an earlier one, it is lifted to it. */
function risen(knots: readonly Knot[]): Knot[] {
  let top = Number.NEGATIVE_INFINITY;
  return knots.map(([x, y]) => {
    top = Math.max(top, y);
    return [x, top];
  });
}

/**
 * The monotone cubic through at least two knots of rising x, after F. N. Fritsch & R. E. Carlson, SIAM J. Numer.
 * Anal. 17 (1980) 238–246. Heights that fall are lifted first. RangeError for fewer knots or an x that does not rise.
 */
export function monotoneCurve(given: readonly Knot[]): Curve {
  if (given.length < 2) throw new RangeError('a curve wants at least two knots');
  const knots = risen(given);
  const xs = knots.map(([x]) => x);
  const ys = knots.map(([, y]) => y);
  const widths = xs.slice(1).map((x, k) => x - xs[k]!);
  if (widths.some((width) => !(width > 0))) throw new RangeError('the knots of a curve must rise in x');
  const slopes = slopesOf(
    widths,
    widths.map((width, k) => (ys[k + 1]! - ys[k]!) / width),
  );
  const last = xs.length - 1;

  const at = (x: number): number => {
    if (x <= xs[0]!) return ys[0]!;
    if (x >= xs[last]!) return ys[last]!;
    let k = 0;
    while (x > xs[k + 1]!) k++;
    const h = widths[k]!;
    const t = (x - xs[k]!) / h;
    const u = 1 - t;
    // Hermite's form: both heights and both slopes of the span
    return (
      ys[k]! * (1 + 2 * t) * u * u +
      ys[k + 1]! * t * t * (3 - 2 * t) +
      h * (slopes[k]! * t * u * u - slopes[k + 1]! * t * t * u)
    );
  };

  return {
    at,
    inverse(y) {
      if (y <= ys[0]!) return xs[0]!;
      if (y > ys[last]!) return xs[last]!;
      let k = 0;
      while (y > ys[k + 1]!) k++;
      let low = xs[k]!;
      let high = xs[k + 1]!;
      const close = 1e-9 * (xs[last]! - xs[0]!);
      while (high - low > close) {
        const middle = (low + high) / 2;
        if (at(middle) < y) low = middle;
        else high = middle;
      }
      return high;
    },
  };
}
