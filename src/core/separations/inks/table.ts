import { labInto } from '../../colour/lab.ts';
import { decodeSrgb } from '../../srgb.ts';
import { SIDE } from './lattice-places.ts';
import type { InkModel } from './model.ts';
import { type InkLimits, openSolver, type Pull } from './solve.ts';

/** Coverages at the nodes of a lattice over sRGB codes: red slowest, then green, then blue, then ink by ink. */
export interface Nodes {
  readonly side: number;
  readonly cover: Float64Array;
  /** ΔE00² of each node and a little for what was wanted of it. */
  readonly cost: Float64Array;
}

/** Which of the coverages of one colour are wanted at each node. */
export interface Wanted {
  /** Those towards which to go, laid out as `Nodes.cover`; null is none of any ink. */
  readonly towards: Float64Array | null;
  /** ΔE00² that a whole coverage away counts as, ink by ink. */
  readonly weights: readonly number[];
}

const COARSE_SIDE = (SIDE + 1) / 2;

/** A colour is within reach of the inks where ΔE00² is no more. */
const WITHIN_REACH = 4;
/** Neighbours whose coverages differ more may have come to different hollows. */
const TORN = 0.15;
const SMOOTHING_WEIGHT = 0.3;
/** Between nodes that are within reach, ΔE00² that needs no solving. */
const GOOD_BETWEEN = 0.01;
/** ΔE00² that is no difference. */
const SAME = 1e-4;

/** Light of one channel, node by node. */
const lightsOfNodes = (side: number): Float64Array =>
  Float64Array.from({ length: side }, (_, node) => decodeSrgb(node / (side - 1)));

/** L*, a*, b* of the nodes. */
function labOfNodes(side: number): Float64Array {
  const lab = new Float64Array(3);
  const all = new Float64Array(3 * side ** 3);
  const light = lightsOfNodes(side);
  for (let k = 0, at = 0; k < side ** 3; k++, at += 3) {
    const [r, g, b] = [Math.floor(k / side / side), Math.floor(k / side) % side, k % side];
    labInto(light[r]!, light[g]!, light[b]!, lab);
    all.set(lab, at);
  }
  return all;
}

/** Places of the nodes so that each is a neighbour of the one before. */
function* winding(side: number): Generator<number> {
  for (let r = 0; r < side; r++)
    for (let i = 0; i < side; i++) {
      const g = r & 1 ? side - 1 - i : i;
      for (let j = 0; j < side; j++) yield (r * side + g) * side + ((r + i) & 1 ? side - 1 - j : j);
    }
}

/** Places of up to six neighbours of node k into `found`; returns their number. */
function neighbours(k: number, side: number, found: Int32Array): number {
  let count = 0;
  for (let step = 1; step < side ** 3; step *= side) {
    const place = Math.floor(k / step) % side;
    if (place > 0) found[count++] = k - step;
    if (place < side - 1) found[count++] = k + step;
  }
  return count;
}

/** A solver with what it needs of a coarse lattice. */
interface Work {
  readonly lab: Float64Array;
  /** Coverages of the node at work. */
  readonly now: Float64Array;
  /** Solves node k from what stands in `now`; returns the cost. */
  solve(k: number): number;
}

function openWork(model: InkModel, limits: InkLimits, { towards, weights }: Wanted): Work {
  const n = model.inks;
  const solve = openSolver(model, limits);
  const lab = labOfNodes(COARSE_SIDE);
  const pull: Pull = { towards: new Float64Array(n), weights: Float64Array.from(weights) };
  const now = new Float64Array(n);
  return {
    lab,
    now,
    solve(k) {
      if (towards) pull.towards.set(towards.subarray(k * n, k * n + n));
      return solve(lab[3 * k]!, lab[3 * k + 1]!, lab[3 * k + 2]!, pull, now);
    },
  };
}

/** Solves a coarse lattice along a winding way, each node from the one before. */
export function solveAlong(model: InkModel, limits: InkLimits, wanted: Wanted): Nodes {
  const { now, solve } = openWork(model, limits, wanted);
  const side = COARSE_SIDE;
  const cover = new Float64Array(model.inks * side ** 3);
  const cost = new Float64Array(side ** 3);
  for (const k of winding(side)) {
    cost[k] = solve(k);
    cover.set(now, k * model.inks);
  }
  return { side, cover, cost };
}

/** Solves nodes out of reach again from neighbours that came to something else, and keeps what is better; changes `nodes`. */
function mend(model: InkModel, limits: InkLimits, wanted: Wanted, nodes: Nodes): Nodes {
  const { now, solve } = openWork(model, limits, wanted);
  const n = model.inks;
  const { side, cover, cost } = nodes;
  const near = new Int32Array(6);
  for (let k = side ** 3 - 1; k >= 0; k--) {
    if (cost[k]! <= WITHIN_REACH) continue;
    for (let i = neighbours(k, side, near) - 1; i >= 0; i--) {
      const other = near[i]!;
      if (apart(cover, k * n, other * n, n) < TORN) continue;
      now.set(cover.subarray(other * n, other * n + n));
      const tried = solve(k);
      if (tried >= cost[k]!) continue;
      cost[k] = tried;
      cover.set(now, k * n);
    }
  }
  return nodes;
}

/** Solves a whole coarse lattice: along, then again from neighbours that did better. */
export const solveLattice = (model: InkModel, limits: InkLimits, wanted: Wanted): Nodes =>
  mend(model, limits, wanted, solveAlong(model, limits, wanted));

/** Largest difference of any ink. */
function apart(cover: Float64Array, at: number, other: number, n: number): number {
  let most = 0;
  for (let i = 0; i < n; i++) most = Math.max(most, Math.abs(cover[at + i]! - cover[other + i]!));
  return most;
}

/**
 * Of the coverages that give one colour, takes those nearest to the mean of the neighbours, so that what lies between
 * nodes gives the colour between them; `rounds` times over. Colours out of reach stay: they have no choice. Changes the nodes.
 */
export function smooth(
  model: InkModel,
  limits: InkLimits,
  { side, cover, cost }: Nodes,
  rounds: number,
): Nodes {
  const n = model.inks;
  const solve = openSolver(model, limits);
  const lab = labOfNodes(side);
  const pull: Pull = { towards: new Float64Array(n), weights: new Float64Array(n).fill(SMOOTHING_WEIGHT) };
  const now = new Float64Array(n);
  const near = new Int32Array(6);
  for (let round = 0; round < rounds; round++) {
    const before = cover.slice();
    for (let k = 0; k < side ** 3; k++) {
      if (cost[k]! > WITHIN_REACH) continue;
      const count = neighbours(k, side, near);
      for (let i = 0; i < n; i++) {
        let sum = before[k * n + i]!;
        for (let j = 0; j < count; j++) sum += before[near[j]! * n + i]!;
        pull.towards[i] = sum / (count + 1);
        now[i] = before[k * n + i]!;
      }
      solve(lab[3 * k]!, lab[3 * k + 1]!, lab[3 * k + 2]!, pull, now);
      cover.set(now, k * n);
    }
  }
  return { side, cover, cost };
}

/**
 * Makes a lattice twice as fine, and solves again where the mean of the neighbours does not give the colour. Layers of one
 * red hang on nothing but the coarse lattice: gives those from `from` to `to` of `SIDE`.
 */
export function refine(
  model: InkModel,
  limits: InkLimits,
  coarse: Nodes,
  from: number,
  to: number,
): Float64Array {
  const side = SIDE;
  const n = model.inks;
  const solve = openSolver(model, limits);
  const lights = lightsOfNodes(side);
  const lab = new Float64Array(3);
  const layer = side * side;
  const cover = new Float64Array(n * layer * (to - from));
  const pull: Pull = { towards: new Float64Array(n), weights: new Float64Array(n).fill(SMOOTHING_WEIGHT) };
  const now = new Float64Array(n);
  const none = new Float64Array(n);
  for (let k = from * layer, at = 0; k < to * layer; k++, at += n) {
    const [r, g, b] = [Math.floor(k / side / side), Math.floor(k / side) % side, k % side];
    labInto(lights[r]!, lights[g]!, lights[b]!, lab);
    const one = ((r >> 1) * coarse.side + (g >> 1)) * coarse.side + (b >> 1);
    const other = (((r + 1) >> 1) * coarse.side + ((g + 1) >> 1)) * coarse.side + ((b + 1) >> 1);
    for (let i = 0; i < n; i++) now[i] = (coarse.cover[one * n + i]! + coarse.cover[other * n + i]!) / 2;
    // of what is out of reach by far the mean of much the same is good enough
    const near = Math.min(coarse.cost[one]!, coarse.cost[other]!) <= WITHIN_REACH;
    if (one !== other && (near || apart(coarse.cover, one * n, other * n, n) > TORN)) {
      pull.towards.set(now);
      if (solve.apart(lab[0]!, lab[1]!, lab[2]!, now) > GOOD_BETWEEN)
        solve(lab[0]!, lab[1]!, lab[2]!, pull, now);
    }
    // the colour of the paper is to stay clean, not all but
    if (solve.apart(lab[0]!, lab[1]!, lab[2]!, none) > SAME) cover.set(now, at);
  }
  return cover;
}

/** The coverages as rows want them: 0 … 65535, rounded down so that no limit is passed. */
export function toneTable(cover: Float64Array): Uint16Array {
  const table = new Uint16Array(cover.length);
  for (let i = 0; i < table.length; i++) table[i] = Math.floor(cover[i]! * 65535 + 1e-6);
  return table;
}
