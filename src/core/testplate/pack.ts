import { rowStream } from '../rng.ts';
import type { BoxMm } from './layout.ts';
import type { Block, Shape } from './parts.ts';

/** Air kept right of and below everything that is placed. */
const AIR_MM = 2;
/** Sums of tenths of micrometres are off by less than this. */
const SLACK_MM = 1e-6;

export interface PlacedShape {
  readonly shape: Shape;
  readonly xMm: number;
  readonly yMm: number;
}

const right = ({ xMm, widthMm }: BoxMm): number => xMm + widthMm;
const bottom = ({ yMm, heightMm }: BoxMm): number => yMm + heightMm;

const meets = (a: BoxMm, b: BoxMm): boolean =>
  a.xMm < right(b) - SLACK_MM &&
  b.xMm < right(a) - SLACK_MM &&
  a.yMm < bottom(b) - SLACK_MM &&
  b.yMm < bottom(a) - SLACK_MM;

const holds = (a: BoxMm, b: BoxMm): boolean =>
  b.xMm >= a.xMm - SLACK_MM &&
  b.yMm >= a.yMm - SLACK_MM &&
  right(b) <= right(a) + SLACK_MM &&
  bottom(b) <= bottom(a) + SLACK_MM;

/**
 * What is left of free boxes when one is taken: the largest boxes beside it, which may overlap each other
 * (J. Jylänki's maximal rectangles, 2010, from memory).
 */
export function take(free: readonly BoxMm[], taken: BoxMm): BoxMm[] {
  const left: BoxMm[] = [];
  const add = (xMm: number, yMm: number, toX: number, toY: number): void => {
    if (toX - xMm > SLACK_MM && toY - yMm > SLACK_MM)
      left.push({ xMm, yMm, widthMm: toX - xMm, heightMm: toY - yMm });
  };
  for (const box of free) {
    if (!meets(box, taken)) {
      left.push(box);
      continue;
    }
    add(box.xMm, box.yMm, taken.xMm, bottom(box));
    add(right(taken), box.yMm, right(box), bottom(box));
    add(box.xMm, box.yMm, right(box), taken.yMm);
    add(box.xMm, bottom(taken), right(box), bottom(box));
  }
  return left.filter(
    (box, i) => !left.some((other, j) => i !== j && holds(other, box) && (!holds(box, other) || j < i)),
  );
}

const withAir = ({ shape, xMm, yMm }: PlacedShape): BoxMm => ({
  xMm,
  yMm,
  widthMm: shape.widthMm + AIR_MM,
  heightMm: shape.heightMm + AIR_MM,
});

/** The place nearest the top, then the left, where one of a block's shapes fits; of several shapes the one that ends highest. */
function highest({ shapes }: Block, free: readonly BoxMm[]): PlacedShape | null {
  let best: PlacedShape | null = null;
  let bestEnd = Number.POSITIVE_INFINITY;
  for (const shape of shapes)
    for (const box of free) {
      if (shape.widthMm > box.widthMm + SLACK_MM || shape.heightMm > box.heightMm + SLACK_MM) continue;
      const end = box.yMm + shape.heightMm + box.xMm / 1000;
      if (end >= bestEnd) continue;
      best = { shape, xMm: box.xMm, yMm: box.yMm };
      bestEnd = end;
    }
  return best;
}

/** The first shape that fits anywhere, as low down as it goes. */
function lowest({ shapes }: Block, free: readonly BoxMm[]): PlacedShape | null {
  for (const shape of shapes) {
    let best: PlacedShape | null = null;
    for (const box of free) {
      if (shape.widthMm > box.widthMm + SLACK_MM || shape.heightMm > box.heightMm + SLACK_MM) continue;
      const yMm = bottom(box) - shape.heightMm;
      if (!best || yMm > best.yMm) best = { shape, xMm: box.xMm, yMm };
    }
    if (best) return best;
  }
  return null;
}

function packInOrder(blocks: readonly Block[], free: readonly BoxMm[]): PlacedShape[] | null {
  const placed: PlacedShape[] = [];
  let left = free;
  for (const block of blocks) {
    const next = highest(block, left);
    if (!next) return null;
    placed.push(next);
    left = take(left, withAir(next));
  }
  return placed;
}

const area = ({ shapes: [first] }: Block): number => first!.widthMm * first!.heightMm;

/** Orders to try: by height, by area, then shuffled ones, always the same. */
function* orders(blocks: readonly Block[], tries: number): Generator<readonly Block[]> {
  yield [...blocks].sort((a, b) => b.shapes[0]!.heightMm - a.shapes[0]!.heightMm);
  yield [...blocks].sort((a, b) => area(b) - area(a));
  for (let i = 0; i < tries; i++) {
    const next = rowStream(i, 0, 0);
    const keys = new Map(blocks.map((block) => [block, (next() / 2 ** 32 + 0.3) * area(block)]));
    yield [...blocks].sort((a, b) => keys.get(b)! - keys.get(a)!);
  }
}

const TRIES = 60;

/**
 * Places the first block at the top, the last as low as it goes and the others between, in free boxes that may
 * overlap. Null where no order that is tried finds room.
 */
export function pack(
  first: Block,
  last: Block,
  between: readonly Block[],
  free: readonly BoxMm[],
): PlacedShape[] | null {
  const top = first.shapes.map((shape) => highest({ ...first, shapes: [shape] }, free)).find(Boolean);
  if (!top) return null;
  const belowTop = take(free, withAir(top));
  const foot = lowest(last, belowTop);
  if (!foot) return null;
  const kept = take(belowTop, { ...withAir(foot), yMm: foot.yMm - AIR_MM, heightMm: foot.shape.heightMm + 2 * AIR_MM });
  for (const order of orders(between, TRIES)) {
    const placed = packInOrder(order, kept);
    if (placed) return [top, ...placed, foot];
  }
  return null;
}
