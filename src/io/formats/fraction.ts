/** A fraction of two unsigned 32-bit numbers, as TIFF's RATIONAL stores it. */
export interface Fraction {
  readonly over: number;
  readonly under: number;
}

const LIMIT = 0xffff_ffff;

/**
 * The reduced fraction that equals a resolution: 500 = 500/1, 300.5 = 601/2, 499.8 = 2499/5.
 *
 * Found as a continued fraction, whose steps are always reduced; it ends at the first step whose
 * quotient is the very number asked for, or at the last one that fits 32 bits (wrong by less than 1e-13).
 */
export function exactFraction(value: number): Fraction {
  let [over, under] = [Math.floor(value), 1];
  let [overBefore, underBefore] = [1, 0];
  let rest = value - over;
  while (over / under !== value && rest > 0) {
    rest = 1 / rest;
    const step = Math.floor(rest);
    const next = { over: step * over + overBefore, under: step * under + underBefore };
    if (next.over > LIMIT || next.under > LIMIT) break;
    [overBefore, underBefore] = [over, under];
    [over, under] = [next.over, next.under];
    rest -= step;
  }
  return { over, under };
}
