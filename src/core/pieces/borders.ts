import type { Loop, PointMm } from '../outlines/contract.ts';
import type { Partition } from './partition.ts';

/** Beyond the canvas there is no piece. */
export const OUTSIDE = -1;

/** A border between two pieces, from one meeting of borders to the next, or round and back to where it starts. */
export interface Border {
  /** In cells from the corner of the canvas; the first and last stay where they are, whatever is made of the rest. */
  readonly points: readonly PointMm[];
  /** Going along the points, y down: what lies on either hand. */
  readonly left: number;
  readonly right: number;
}

/** Steps along the sides of cells: right, down, left, up. */
const STEP_X = [1, 0, -1, 0] as const;
const STEP_Y = [0, 1, 0, -1] as const;

interface Sides {
  /** Where a border may be followed: bits of the four steps from each corner of a cell, still to be followed. */
  readonly open: Uint8Array;
  /** The same, as it was at first. */
  readonly all: Uint8Array;
  readonly columns: number;
}

const pieceAt = ({ widthPx, heightPx, pieceAt: pieces }: Partition, x: number, y: number): number =>
  x < 0 || y < 0 || x >= widthPx || y >= heightPx ? OUTSIDE : pieces[y * widthPx + x]!;

/** All sides of cells with different pieces on both hands. */
function sidesOf(partition: Partition): Sides {
  const columns = partition.widthPx + 1;
  const all = new Uint8Array(columns * (partition.heightPx + 1));
  for (let y = 0; y <= partition.heightPx; y++)
    for (let x = 0; x <= partition.widthPx; x++) {
      const at = y * columns + x;
      const below = pieceAt(partition, x, y);
      if (below !== pieceAt(partition, x, y - 1)) {
        all[at] = all[at]! | 1;
        all[at + 1] = all[at + 1]! | 4;
      }
      if (below !== pieceAt(partition, x - 1, y)) {
        all[at] = all[at]! | 2;
        all[at + columns] = all[at + columns]! | 8;
      }
    }
  return { all, open: all.slice(), columns };
}

const bitsIn = (nibble: number): number =>
  (nibble & 1) + ((nibble >> 1) & 1) + ((nibble >> 2) & 1) + ((nibble >> 3) & 1);

/** Where more than two borders meet, and at the corners of the canvas, a border ends. */
function isMeeting({ all, columns }: Sides, { widthPx, heightPx }: Partition, at: number): boolean {
  const x = at % columns;
  const y = (at - x) / columns;
  return bitsIn(all[at]!) > 2 || ((x === 0 || x === widthPx) && (y === 0 || y === heightPx));
}

/** Follows a border from a corner of a cell until it meets others or comes back. */
function follow(sides: Sides, partition: Partition, start: number, first: number): Border {
  const { open, columns } = sides;
  const x0 = start % columns;
  const y0 = (start - x0) / columns;
  // the cells on both hands of the first step
  const left = pieceAt(
    partition,
    first === 2 || first === 3 ? x0 - 1 : x0,
    first === 0 || first === 3 ? y0 - 1 : y0,
  );
  const right = pieceAt(
    partition,
    first === 1 || first === 2 ? x0 - 1 : x0,
    first === 2 || first === 3 ? y0 - 1 : y0,
  );
  const points = [{ x: x0, y: y0 }];
  let at = start;
  let step = first;
  for (;;) {
    open[at] = open[at]! & ~(1 << step);
    at += STEP_X[step]! + STEP_Y[step]! * columns;
    open[at] = open[at]! & ~(1 << ((step + 2) & 3));
    const x = at % columns;
    points.push({ x, y: (at - x) / columns });
    if (at === start || isMeeting(sides, partition, at)) return { points, left, right };
    step = 31 - Math.clz32(open[at]!);
  }
}

/** Every border of a partition, each once, those of the canvas with `OUTSIDE` on one hand. */
export function bordersOf(partition: Partition): Border[] {
  const sides = sidesOf(partition);
  const borders: Border[] = [];
  const followAll = (at: number): void => {
    for (let step = 0; step < 4; step++)
      if (sides.open[at]! & (1 << step)) borders.push(follow(sides, partition, at, step));
  };
  for (let at = 0; at < sides.open.length; at++)
    if (sides.open[at] !== 0 && isMeeting(sides, partition, at)) followAll(at);
  // what is left meets nothing: rings around islands
  for (let at = 0; at < sides.open.length; at++) if (sides.open[at] !== 0) followAll(at);
  return borders;
}

const keyOf = ({ x, y }: PointMm): string => `${x},${y}`;

/** The closed lines around one piece, put together from its borders: neighbours share them to the last bit. */
export function loopsAround(borders: readonly Border[], piece: number): Loop[] {
  const ways = borders
    .filter(({ left, right }) => left === piece || right === piece)
    .map(({ points, right }) => (right === piece ? points : [...points].reverse()));
  const from = new Map<string, (typeof ways)[number][]>();
  for (const way of ways) {
    const key = keyOf(way[0]!);
    from.set(key, [...(from.get(key) ?? []), way]);
  }
  const loops: Loop[] = [];
  for (const start of ways) {
    const key = keyOf(start[0]!);
    if (!from.get(key)?.includes(start)) continue;
    const loop: PointMm[] = [];
    let way: (typeof ways)[number] | undefined = start;
    while (way) {
      const here: string = keyOf(way[0]!);
      const taken = way;
      from.set(
        here,
        from.get(here)!.filter((other) => other !== taken),
      );
      loop.push(...taken.slice(0, -1));
      const next: string = keyOf(taken[taken.length - 1]!);
      way = next === key ? undefined : from.get(next)?.[0];
    }
    loops.push(loop);
  }
  return loops;
}
