import { ciede2000Form, ciede2000Squared } from '../../colour/ciede2000.ts';
import { labInto } from '../../colour/lab.ts';
import type { InkModel } from './model.ts';

/** Most ink there may be. */
export interface InkLimits {
  /** Of each ink, 0 … 1. */
  readonly caps: readonly number[];
  /** Of all inks together, in coverages: 2.4 is 240 %. */
  readonly total: number;
}

/** Which of the coverages that give one colour are wanted: those near to `towards`, each ink by its weight. */
export interface Pull {
  readonly towards: Float64Array;
  /** ΔE00² that a whole coverage away counts as. */
  readonly weights: Float64Array;
}

/** Ink beyond the limit counts so much, in ΔE00² for a coverage squared; what is left of it is taken off in the end. */
const OVER_LIMIT = 1e6;
const MOST_STEPS = 40;
const GOOD_ENOUGH = 1e-5;
const STEP_OF_SLOPE = 1e-3;
/** ΔE00² below which CIEDE2000 is its form about the wanted colour. */
const NEAR = 0.5;

/** Mixes inks to a colour, and tells colours apart. */
export interface Solve {
  /** Finds the coverages nearest in ΔE00 to L*, a*, b*; starts from those in `cover`, leaves them there, returns the cost. */
  (lightness: number, a: number, b: number, pull: Pull, cover: Float64Array): number;
  /** ΔE00² between L*, a*, b* and what coverages give. */
  apart(lightness: number, a: number, b: number, cover: Float64Array): number;
}

/**
 * Newton's method on the coverages that are free to move (D. P. Bertsekas, SIAM J. Control Optim. 20 (1982) 221–246, from
 * memory) with the curvature of Gauss and Newton: slopes of the model in the form of CIEDE2000 at the wanted colour.
 */
export function openSolver(model: InkModel, limits: InkLimits): Solve {
  const n = model.inks;
  const caps = Float64Array.from(limits.caps);
  const lab = new Float64Array(3);
  const light = new Float64Array(3);
  const slopes = new Float64Array(3 * n);
  const form = new Float64Array(9);
  const colourSlope = new Float64Array(3);
  const slope = new Float64Array(n);
  const curve = new Float64Array(n * n);
  const tried = new Float64Array(n);
  const step = new Float64Array(n);
  const free = new Int32Array(n);

  function over(cover: Float64Array): number {
    let sum = -limits.total;
    for (let i = 0; i < n; i++) sum += cover[i]!;
    return Math.max(0, sum);
  }

  function besides({ towards, weights }: Pull, cover: Float64Array): number {
    const beyond = over(cover);
    let sum = OVER_LIMIT * beyond * beyond;
    for (let i = 0; i < n; i++) sum += weights[i]! * (cover[i]! - towards[i]!) ** 2;
    return sum;
  }

  /** Slopes and curvature of the cost where `lab` and `slopes` belong to `cover`; `near`, where the form does for the slope. */
  function shape(
    l: number,
    a: number,
    b: number,
    { towards, weights }: Pull,
    cover: Float64Array,
    near: boolean,
  ): void {
    const [l2, a2, b2] = [lab[0]!, lab[1]!, lab[2]!];
    const [dl, da, db] = [l2 - l, a2 - a, b2 - b];
    if (near) {
      colourSlope[0] = 2 * form[0]! * dl;
      colourSlope[1] = 2 * (form[4]! * da + form[5]! * db);
      colourSlope[2] = 2 * (form[7]! * da + form[8]! * db);
    } else {
      const h = STEP_OF_SLOPE;
      const at = (l3: number, a3: number, b3: number): number =>
        ciede2000Squared(l, a, b, l3, a3, b3) / (2 * h);
      colourSlope[0] = at(l2 + h, a2, b2) - at(l2 - h, a2, b2);
      colourSlope[1] = at(l2, a2 + h, b2) - at(l2, a2 - h, b2);
      colourSlope[2] = at(l2, a2, b2 + h) - at(l2, a2, b2 - h);
    }
    const beyond = over(cover);
    const ridge = beyond > 0 ? 2 * OVER_LIMIT : 0;
    for (let i = 0; i < n; i++) {
      const [il, ia, ib] = [slopes[3 * i]!, slopes[3 * i + 1]!, slopes[3 * i + 2]!];
      slope[i] =
        il * colourSlope[0]! +
        ia * colourSlope[1]! +
        ib * colourSlope[2]! +
        2 * weights[i]! * (cover[i]! - towards[i]!) +
        ridge * beyond;
      for (let j = 0; j <= i; j++) {
        const [jl, ja, jb] = [slopes[3 * j]!, slopes[3 * j + 1]!, slopes[3 * j + 2]!];
        const bend =
          il * form[0]! * jl + ia * (form[4]! * ja + form[5]! * jb) + ib * (form[7]! * ja + form[8]! * jb);
        curve[i * n + j] = 2 * bend + ridge + (i === j ? 2 * weights[i]! : 0);
        curve[j * n + i] = curve[i * n + j]!;
      }
    }
  }

  function apart(l: number, a: number, b: number, cover: Float64Array): number {
    model.lightOf(cover, light);
    labInto(light[0]!, light[1]!, light[2]!, lab);
    return ciede2000Squared(l, a, b, lab[0]!, lab[1]!, lab[2]!);
  }

  function solve(l: number, a: number, b: number, pull: Pull, cover: Float64Array): number {
    ciede2000Form(l, a, b, form);
    model.labOf(cover, lab, slopes);
    let cost = ciede2000Squared(l, a, b, lab[0]!, lab[1]!, lab[2]!) + besides(pull, cover);
    let damping = 1e-6;
    for (let round = 0; round < MOST_STEPS; round++) {
      shape(l, a, b, pull, cover, cost < NEAR);
      let count = 0;
      for (let i = 0; i < n; i++) {
        const stuck = (cover[i]! <= 0 && slope[i]! >= 0) || (cover[i]! >= caps[i]! && slope[i]! <= 0);
        if (!stuck) free[count++] = i;
      }
      if (count === 0) break;
      newtonStep(curve, slope, free, count, n, damping, step);

      let size = 1;
      let lower = cost;
      for (; size > 1e-3; size /= 4) {
        tried.set(cover);
        for (let f = 0; f < count; f++) {
          const i = free[f]!;
          tried[i] = Math.min(caps[i]!, Math.max(0, cover[i]! + size * step[f]!));
        }
        lower = apart(l, a, b, tried) + besides(pull, tried);
        if (lower < cost) break;
      }
      if (lower >= cost) {
        // the curvature misled: nearer to straight downhill
        if (damping > 1) break;
        damping = Math.max(1e-3, damping * 30);
        model.labOf(cover, lab, slopes);
        continue;
      }
      const gained = cost - lower;
      cost = lower;
      cover.set(tried);
      if (gained < GOOD_ENOUGH * (1 + 10 * cost)) break;
      if (size === 1) damping = Math.max(1e-6, damping / 10);
      model.labOf(cover, lab, slopes);
    }
    for (let beyond = over(cover); beyond > 1e-12; beyond = over(cover)) takeOff(cover, beyond);
    return cost;
  }

  return Object.assign(solve, { apart });
}

/** Takes the same off all inks there are, so that there is `beyond` less of them unless one runs out. */
function takeOff(cover: Float64Array, beyond: number): void {
  let count = 0;
  for (let i = 0; i < cover.length; i++) if (cover[i]! > 0) count++;
  for (let i = 0; i < cover.length; i++) cover[i] = Math.max(0, cover[i]! - beyond / count - 1e-15);
}

const factor = new Float64Array(25);

/** −(curve + damping)⁻¹ slope for the free coverages alone, by Cholesky, into `step`; up to five of them. */
function newtonStep(
  curve: Float64Array,
  slope: Float64Array,
  free: Int32Array,
  count: number,
  n: number,
  damping: number,
  step: Float64Array,
): void {
  for (let i = 0; i < count; i++) {
    const row = free[i]! * n;
    for (let j = 0; j <= i; j++) {
      let sum = curve[row + free[j]!]!;
      if (i === j) sum += damping * sum + 1e-9;
      for (let k = 0; k < j; k++) sum -= factor[i * 5 + k]! * factor[j * 5 + k]!;
      factor[i * 5 + j] = i === j ? Math.sqrt(Math.max(1e-12, sum)) : sum / factor[j * 5 + j]!;
    }
    let rest = -slope[free[i]!]!;
    for (let k = 0; k < i; k++) rest -= factor[i * 5 + k]! * step[k]!;
    step[i] = rest / factor[i * 5 + i]!;
  }
  for (let i = count - 1; i >= 0; i--) {
    let rest = step[i]!;
    for (let k = i + 1; k < count; k++) rest -= factor[k * 5 + i]! * step[k]!;
    step[i] = rest / factor[i * 5 + i]!;
  }
}
