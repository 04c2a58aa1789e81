/** Points on a square whose edges wrap; coordinates 0 … side. */
export interface Points {
  readonly side: number;
  readonly x: Float64Array;
  readonly y: Float64Array;
}

/** Reach of a point's crowding, in mean distances √(side² / n) of those that are left. */
const REACH = 1.3;

/** How near one point crowds another at a share of the reach, squared: nearly a Gaussian of reach / 2.5, and nothing at the end. */
const crowding = (share: number): number => (1 - share) * (1 - share) * (1 - share);

/**
 * The place of each point, 0 … n − 1, in an order whose every beginning is spread evenly: the most crowded point goes
 * last, then the most crowded of the rest, and so on, with a longer reach each time half are gone. The step for the
 * majority of void-and-cluster, on points instead of pixels (R. Ulichney, Proc. SPIE 1913, 1993, 332–343, from memory).
 */
export function evenOrder(points: Points): Uint32Array {
  const n = points.x.length;
  const place = new Uint32Array(n);
  let left = Uint32Array.from({ length: n }, (_, i) => i);
  while (left.length > 1) {
    const keep = left.length > 3 ? left.length >> 1 : 1;
    thinOut(points, left, keep, place);
    const kept = new Uint32Array(keep);
    let k = 0;
    for (const i of left) if (place[i] === 0) kept[k++] = i;
    left = kept;
  }
  return place;
}

/** Gives the last places among the points of `left` to the most crowded, until `keep` have none; a place of 0 means none yet. */
function thinOut({ side, x, y }: Points, left: Uint32Array, keep: number, place: Uint32Array): void {
  const reach = Math.min(side / 2, (REACH * side) / Math.sqrt(left.length));
  const near = neighbours({ side, x, y }, left, reach);
  const energy = new Float64Array(left.length);
  for (let i = 0; i < left.length; i++)
    for (let k = near.from[i]!; k < near.from[i + 1]!; k++) energy[i] = energy[i]! + near.weight[k]!;
  const heap = openHeap(energy);
  let count = left.length;
  while (count > keep) {
    const i = heap.takeHighest();
    place[left[i]!] = --count;
    for (let k = near.from[i]!; k < near.from[i + 1]!; k++) {
      const j = near.of[k]!;
      energy[j] = energy[j]! - near.weight[k]!;
    }
  }
}

interface Neighbours {
  /** Those of point i are from[i] … from[i + 1] − 1. */
  readonly from: Uint32Array;
  readonly of: Uint32Array;
  readonly weight: Float64Array;
}

/** For each point all others within reach, found by a grid of squares no smaller than the reach. */
function neighbours({ side, x, y }: Points, left: Uint32Array, reach: number): Neighbours {
  const n = left.length;
  const across = Math.max(1, Math.floor(side / reach));
  const squareOf = (i: number): number => {
    const column = Math.min(across - 1, Math.floor((x[left[i]!]! * across) / side));
    return Math.min(across - 1, Math.floor((y[left[i]!]! * across) / side)) * across + column;
  };
  const first = new Uint32Array(across * across + 1);
  for (let i = 0; i < n; i++) first[squareOf(i) + 1]!++;
  for (let s = 0; s < across * across; s++) first[s + 1] = first[s + 1]! + first[s]!;
  const next = first.slice();
  const sorted = new Uint32Array(n);
  for (let i = 0; i < n; i++) sorted[next[squareOf(i)]!++] = i;

  // fewer than three squares across: each is looked at once all the same
  const around = across < 3 ? Array.from({ length: across }, (_, i) => i) : [across - 1, 0, 1];
  const from = new Uint32Array(n + 1);
  let of = new Uint32Array(16 * n);
  let weight = new Float64Array(16 * n);
  let count = 0;
  for (let i = 0; i < n; i++) {
    const px = x[left[i]!]!;
    const py = y[left[i]!]!;
    const square = squareOf(i);
    const row = Math.floor(square / across);
    const column = square - row * across;
    if (count + n > of.length) {
      of = grown(of, new Uint32Array(2 * count + n));
      weight = grown(weight, new Float64Array(2 * count + n));
    }
    for (const down of around)
      for (const right of around) {
        const s = ((row + down) % across) * across + ((column + right) % across);
        for (let k = first[s]!; k < first[s + 1]!; k++) {
          const j = sorted[k]!;
          if (j === i) continue;
          let dx = Math.abs(px - x[left[j]!]!);
          let dy = Math.abs(py - y[left[j]!]!);
          if (dx > side / 2) dx = side - dx;
          if (dy > side / 2) dy = side - dy;
          const share = (dx * dx + dy * dy) / (reach * reach);
          if (share >= 1) continue;
          of[count] = j;
          weight[count++] = crowding(share);
        }
      }
    from[i + 1] = count;
  }
  return { from, of, weight };
}

function grown<T extends Uint32Array | Float64Array>(old: T, larger: T): T {
  larger.set(old);
  return larger;
}

/**
 * A heap over energies that only ever fall: an entry that has fallen since it was put in is put back lower when it
 * comes to the top. `takeHighest` gives each number once.
 */
function openHeap(energy: Float64Array): { takeHighest(): number } {
  let size = 0;
  const keys = new Float64Array(energy.length);
  const items = new Uint32Array(energy.length);
  const push = (key: number, item: number): void => {
    let at = size++;
    while (at > 0) {
      const parent = (at - 1) >> 1;
      if (keys[parent]! >= key) break;
      keys[at] = keys[parent]!;
      items[at] = items[parent]!;
      at = parent;
    }
    keys[at] = key;
    items[at] = item;
  };
  /** Lets an entry sink from the top. */
  const sink = (key: number, item: number): void => {
    let at = 0;
    for (let child = 1; child < size; child = 2 * at + 1) {
      if (child + 1 < size && keys[child + 1]! > keys[child]!) child++;
      if (key >= keys[child]!) break;
      keys[at] = keys[child]!;
      items[at] = items[child]!;
      at = child;
    }
    keys[at] = key;
    items[at] = item;
  };
  for (let i = 0; i < energy.length; i++) push(energy[i]!, i);
  return {
    takeHighest: () => {
      for (;;) {
        const item = items[0]!;
        if (keys[0]! === energy[item]!) {
          size--;
          if (size > 0) sink(keys[size]!, items[size]!);
          return item;
        }
        sink(energy[item]!, item);
      }
    },
  };
}
