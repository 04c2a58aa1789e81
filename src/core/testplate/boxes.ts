import type { BoxMm } from './layout.ts';

/** Sums of tenths of micrometres are off by less than this. */
export const SLACK_MM = 1e-6;

const right = ({ xMm, widthMm }: BoxMm): number => xMm + widthMm;
/** Lower edge, in mm from the head of the plate. */
export const bottom = ({ yMm, heightMm }: BoxMm): number => yMm + heightMm;

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

/** What two boxes have in common; none or one. */
export function overlap(a: BoxMm, b: BoxMm): BoxMm[] {
  const xMm = Math.max(a.xMm, b.xMm);
  const yMm = Math.max(a.yMm, b.yMm);
  const widthMm = Math.min(right(a), right(b)) - xMm;
  const heightMm = Math.min(bottom(a), bottom(b)) - yMm;
  return widthMm > SLACK_MM && heightMm > SLACK_MM ? [{ xMm, yMm, widthMm, heightMm }] : [];
}
