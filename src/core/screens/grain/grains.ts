import type { Offset } from '../../spot/regions.ts';
import { evenOrder } from './point-order.ts';

/** One side of the half-tone pattern: its pixels are the first half of `order`, the deepest first. */
export interface Phase {
  readonly side: number;
  readonly field: Float64Array;
  readonly order: Uint32Array;
  /** Place of each pixel in the order. */
  readonly places: Uint32Array;
}

/** Pixels of a mark that is as small as may be, and how many columns and rows they take. */
export interface Stamp {
  readonly columnsPx: number;
  readonly rowsPx: number;
  readonly offsets: readonly Offset[];
}

/** A square up to 3 px wide, a disc above, drawn out along the row by so many pixels. */
export function stampOf(widthPx: number, sweptPx: number): Stamp {
  const columnsPx = widthPx + sweptPx;
  const middle = (widthPx - 1) / 2;
  // a little wider than the circle itself: that rounds better
  const radius = widthPx <= 3 ? widthPx : (widthPx / 2) * 1.06;
  const offsets: Offset[] = [];
  for (let dy = 0; dy < widthPx; dy++)
    for (let dx = 0; dx < columnsPx; dx++) {
      const nearest = Math.min(Math.max(dx, middle), middle + sweptPx);
      if (Math.hypot(dx - nearest, dy - middle) <= radius) offsets.push({ dx, dy });
    }
  return { columnsPx, rowsPx: widthPx, offsets };
}

const NONE = 0xffffffff;

/** The grain that every pixel of a phase belongs to: the lowest place that the field runs down to from there. */
function basins({ side, order, places }: Phase): { readonly of: Uint32Array; readonly seeds: Uint32Array } {
  const mask = side - 1;
  const half = order.length >> 1;
  const of = new Uint32Array(order.length).fill(NONE);
  const seeds = new Uint32Array(half);
  let count = 0;
  for (let k = 0; k < half; k++) {
    const i = order[k]!;
    const x = i & mask;
    const row = i - x;
    const left = (x - 1) & mask;
    const right = (x + 1) & mask;
    const above = (row - side) & (order.length - 1);
    const below = (row + side) & (order.length - 1);
    let deepest = k;
    let at = i;
    for (let n = 0; n < 8; n++) {
      const line = n < 3 ? above : n < 5 ? row : below;
      const column = n === 1 || n === 6 ? x : n === 0 || n === 3 || n === 5 ? left : right;
      const place = places[line + column]!;
      if (place < deepest) {
        deepest = place;
        at = line + column;
      }
    }
    if (at === i) {
      seeds[count] = i;
      of[i] = count++;
    } else of[i] = of[at]!;
  }
  return { of, seeds: seeds.subarray(0, count) };
}

/** Where between its neighbours a low place really lies, −½ … ½, by the parabola through three values. */
function between(before: number, here: number, after: number): number {
  const bend = 2 * (before - 2 * here + after);
  return bend === 0 ? 0 : Math.max(-0.5, Math.min(0.5, (before - after) / bend));
}

function seedPoints({ side, field }: Phase, seeds: Uint32Array) {
  const mask = side - 1;
  const x = new Float64Array(seeds.length);
  const y = new Float64Array(seeds.length);
  for (let s = 0; s < seeds.length; s++) {
    const column = seeds[s]! & mask;
    const row = seeds[s]! - column;
    const here = field[seeds[s]!]!;
    const beside = between(field[row + ((column - 1) & mask)]!, here, field[row + ((column + 1) & mask)]!);
    const above = field[((row - side) & (field.length - 1)) + column]!;
    const below = field[((row + side) & (field.length - 1)) + column]!;
    x[s] = (column + 0.5 + beside + side) % side;
    y[s] = (row / side + 0.5 + between(above, here, below) + side) % side;
  }
  return { side, x, y };
}

const TRIES: readonly Offset[] = [
  { dx: 0, dy: 0 },
  { dx: 1, dy: 0 },
  { dx: -1, dy: 0 },
  { dx: 0, dy: 1 },
  { dx: 0, dy: -1 },
  { dx: 1, dy: 1 },
  { dx: -1, dy: 1 },
  { dx: 1, dy: -1 },
  { dx: -1, dy: -1 },
];

/** The tone from which on each pixel of a phase is marked, 0 … ½; other pixels are left as they are. */
export function growPhase(phase: Phase, { columnsPx, rowsPx, offsets: stamp }: Stamp): Float32Array {
  const { side, order, places } = phase;
  const mask = side - 1;
  const half = order.length >> 1;
  const { of, seeds } = basins(phase);
  const points = seedPoints(phase, seeds);
  const turn = evenOrder(points);
  const inTurn = new Uint32Array(seeds.length);
  for (let s = 0; s < seeds.length; s++) inTurn[turn[s]!] = s;

  // whole marks in their turn, where they fit into the half-tone pattern beside those already there
  const stamped = new Uint32Array(order.length).fill(NONE);
  const fits = (left: number, top: number): boolean => {
    for (const { dx, dy } of stamp) {
      const at = ((top + dy) & mask) * side + ((left + dx) & mask);
      if (places[at]! >= half || stamped[at] !== NONE) return false;
    }
    return true;
  };
  let marks = 0;
  for (const s of inTurn) {
    const left = Math.round(points.x[s]! - columnsPx / 2);
    const top = Math.round(points.y[s]! - rowsPx / 2);
    const step = TRIES.find(({ dx, dy }) => fits(left + dx, top + dy));
    if (!step) continue;
    for (const { dx, dy } of stamp)
      stamped[((top + step.dy + dy) & mask) * side + ((left + step.dx + dx) & mask)] = marks;
    marks++;
  }

  const tones = new Float32Array(order.length);
  const stampedTone = (stamp.length * marks) / order.length;
  // then every grain grows by itself, each pixel a share of the way from there to half tone
  const sizes = new Uint32Array(seeds.length);
  for (let k = 0; k < half; k++) if (stamped[order[k]!] === NONE) sizes[of[order[k]!]!]!++;
  const done = new Uint32Array(seeds.length);
  for (let k = 0; k < half; k++) {
    const i = order[k]!;
    const mark = stamped[i]!;
    if (mark !== NONE) {
      tones[i] = ((mark + 0.5) / marks) * stampedTone;
      continue;
    }
    const s = of[i]!;
    const share = (done[s]!++ + (turn[s]! + 0.5) / seeds.length) / sizes[s]!;
    tones[i] = stampedTone + share * (0.5 - stampedTone);
  }
  return tones;
}
