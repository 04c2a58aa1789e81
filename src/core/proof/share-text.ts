import { LATTER_HALF } from '../wasm/shuffles.ts';

/** Nearest whole steps of the first two shares of a vector; `$most` steps are a share of 1, `$half` is a half. */
const nearestTwo = `f64x2.promote_low_f32x4  local.get $most  f64x2.mul  local.get $half  f64x2.add  i32x4.trunc_sat_f64x2_s_zero`;

/** Nearest whole steps of the four shares at `$ink`, by way of `$four`: two vectors, in the first half of each. In doubles, as the plain loops do it. */
export const NEAREST_OF_FOUR = `
  local.get $ink  v128.load  local.tee $four  ${nearestTwo}
  local.get $four  local.get $four  ${LATTER_HALF}  ${nearestTwo}`;
