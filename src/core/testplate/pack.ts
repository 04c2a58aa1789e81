import { rowStream } from '../rng.ts';
import { bottom, overlap, SLACK_MM, take } from './boxes.ts';
import type { BoxMm } from './layout.ts';
import type { Block, Shape } from './parts.ts';

/** A shape and the upper left corner it was given, in mm. */
export interface PlacedShape {
  readonly shape: Shape;
  readonly xMm: number;
  readonly yMm: number;
}

/** With the air that is kept right of and below everything. */
const withAir = ({ shape, xMm, yMm }: PlacedShape, airMm: number): BoxMm => ({
  xMm,
  yMm,
  widthMm: shape.widthMm + airMm,
  heightMm: shape.heightMm + airMm,
});

const fits = ({ widthMm, heightMm }: Shape, box: BoxMm, airMm: number): boolean =>
  widthMm + airMm <= box.widthMm + SLACK_MM && heightMm + airMm <= box.heightMm + SLACK_MM;

/** How little a shape is wished for in a free box; the least wins. */
type Reluctance = (shape: Shape, box: BoxMm) => number;

/** Ends high up, then far left. */
const high: Reluctance = (shape, box) => box.yMm + shape.heightMm + box.xMm / 1000;
/** Leaves the narrowest slip beside it, then high up. */
const snug: Reluctance = (shape, box) =>
  Math.min(box.widthMm - shape.widthMm, box.heightMm - shape.heightMm) + box.yMm / 1000;

/** The upper left corner of the free box, and the shape, that are the least reluctant. */
function place(
  { shapes }: Block,
  free: readonly BoxMm[],
  airMm: number,
  reluctance: Reluctance,
): PlacedShape | null {
  let best: PlacedShape | null = null;
  let least = Number.POSITIVE_INFINITY;
  for (const shape of shapes)
    for (const box of free) {
      if (!fits(shape, box, airMm)) continue;
      const value = reluctance(shape, box);
      if (value >= least) continue;
      best = { shape, xMm: box.xMm, yMm: box.yMm };
      least = value;
    }
  return best;
}

/** The first of a block's shapes that fits anywhere, as low down as it goes. */
function lowest({ shapes }: Block, free: readonly BoxMm[]): PlacedShape | null {
  for (const shape of shapes) {
    let best: PlacedShape | null = null;
    for (const box of free) {
      const yMm = bottom(box) - shape.heightMm;
      if (fits(shape, box, 0) && (!best || yMm > best.yMm)) best = { shape, xMm: box.xMm, yMm };
    }
    if (best) return best;
  }
  return null;
}

/** A packing, and the free boxes it leaves. */
export interface Packing {
  readonly placed: readonly PlacedShape[];
  readonly free: readonly BoxMm[];
}

function packInOrder(
  blocks: readonly Block[],
  free: readonly BoxMm[],
  airMm: number,
  reluctance: Reluctance,
): Packing | null {
  const placed: PlacedShape[] = [];
  let left = free;
  for (const block of blocks) {
    const next = place(block, left, airMm, reluctance);
    if (!next) return null;
    placed.push(next);
    left = take(left, withAir(next, airMm));
  }
  return { placed, free: left };
}

const areaOf = ({ shapes: [first] }: Block): number => first!.widthMm * first!.heightMm;

const TRIES = 150;

/** Orders to try: by height, by area, then shuffled with the large ones mostly first; always the same. */
function* orders(blocks: readonly Block[]): Generator<readonly Block[]> {
  yield [...blocks].sort((a, b) => b.shapes[0]!.heightMm - a.shapes[0]!.heightMm);
  yield [...blocks].sort((a, b) => areaOf(b) - areaOf(a));
  for (let i = 0; i < TRIES; i++) {
    const next = rowStream(i, 0, 0);
    const keys = new Map(blocks.map((block) => [block, (next() / 2 ** 32 + 0.3) * areaOf(block)]));
    yield [...blocks].sort((a, b) => keys.get(b)! - keys.get(a)!);
  }
}

/** Where zones may stand: a plate inside its edge, but for some boxes. */
export interface Room {
  readonly inner: BoxMm;
  readonly taken: readonly BoxMm[];
}

/** The two blocks that have their places before all others. */
interface Ends {
  readonly top: PlacedShape;
  readonly foot: PlacedShape;
}

function placeEnds(first: Block, last: Block, { inner, taken }: Room): Ends | null {
  const free = taken.reduce(take, [inner]);
  // the shapes stand in order of looks, so the first that fits is taken
  const top = first.shapes.map((shape) => place({ ...first, shapes: [shape] }, free, 0, high)).find(Boolean);
  if (!top) return null;
  const foot = lowest(last, take(free, withAir(top, 0)));
  return foot && { top, foot };
}

/**
 * Places the first block at the top, the last as low as it goes and the others between, `airMm` apart. Null where no
 * order that is tried leaves what is `enough`.
 */
export function pack(
  first: Block,
  last: Block,
  between: readonly Block[],
  room: Room,
  airMm: number,
  enough: (free: readonly BoxMm[]) => boolean,
): Packing | null {
  const ends = placeEnds(first, last, room);
  if (!ends) return null;
  const { top, foot } = ends;
  const { inner } = room;
  // air may lie beyond the edge
  const roomy = { ...inner, widthMm: inner.widthMm + airMm, heightMm: inner.heightMm + airMm };
  const kept = [...room.taken, withAir(top, airMm), withAir(foot, airMm)].reduce(take, [roomy]);
  for (const order of orders(between))
    for (const reluctance of [high, snug]) {
      const packing = packInOrder(order, kept, airMm, reluctance);
      if (!packing) continue;
      const free = packing.free.flatMap((box) => overlap(box, inner));
      if (enough(free)) return { placed: [top, ...packing.placed, foot], free };
    }
  return null;
}
