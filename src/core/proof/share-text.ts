/** What kernels over rows of shares have in common, as WebAssembly's text: sums and steps are worked out in doubles, two by two, as the plain loops do it. */

/** The latter two of four floats, in front. */
export const LATTER_TWO = 'i8x16.shuffle 8 9 10 11 12 13 14 15 8 9 10 11 12 13 14 15';

/** The first two numbers of each of two vectors, side by side. */
export const SIDE_BY_SIDE = 'i8x16.shuffle 0 1 2 3 4 5 6 7 16 17 18 19 20 21 22 23';

/** Nearest whole steps of the first two shares of a vector; `$most` steps are a share of 1, `$half` is a half. */
const nearestTwo = `f64x2.promote_low_f32x4  local.get $most  f64x2.mul  local.get $half  f64x2.add  i32x4.trunc_sat_f64x2_s_zero`;

/** Likewise of the four at `$ink`, by way of `$four`: two vectors, in the first two places of each. */
export const NEAREST_OF_FOUR = `
  local.get $ink  v128.load  local.tee $four  ${nearestTwo}
  local.get $four  local.get $four  ${LATTER_TWO}  ${nearestTwo}`;
