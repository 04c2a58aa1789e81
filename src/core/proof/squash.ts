import type { PlaneSize } from './box.ts';
import { remembered, type ShareRows } from './rows.ts';

/**
 * Longest step in pixels: a front that runs slantwise crosses its pixel within two of them (the bound of
 * Courant, Friedrichs & Lewy 1928 for this scheme is 1/√2).
 */
const STEP_PX = 0.5;

/**
 * What is left bare of a plane when the ink beside it is pressed out over its edge by `byPx` pixels on every side.
 * Shares shrink by the slope of the plane, as a front that moves at an even speed (upwind scheme of Osher & Sethian
 * 1988; Brockett & Maragos 1992 for erosion; both from memory). Straight edges come out exactly; more squash never
 * leaves more bare.
 */
export function leftBare(rows: ShareRows, size: PlaneSize, byPx: number): ShareRows {
  let bare = rows;
  for (let left = byPx; left > 1e-9; left -= STEP_PX) bare = stepped(bare, size, Math.min(left, STEP_PX));
  return bare;
}

function stepped(rows: ShareRows, { widthPx, heightPx }: PlaneSize, byPx: number): ShareRows {
  const row = remembered(rows, widthPx, 3);
  return (y, into) =>
    stepRow(row(Math.max(0, y - 1)), row(y), row(Math.min(heightPx - 1, y + 1)), byPx, into);
}

/** A plain function, not a closure: two steps of one plane would share its code and run at a third of the speed. */
function stepRow(
  above: Float32Array,
  here: Float32Array,
  below: Float32Array,
  byPx: number,
  into: Float32Array,
): void {
  const last = into.length - 1;
  let left = here[0]!;
  let share = left;
  for (let x = 0; x <= last; x++) {
    const right = x < last ? here[x + 1]! : share;
    let bare = share;
    if (share > 0) {
      const up = above[x]!;
      const low = below[x]!;
      const side = left < right ? left : right;
      const end = up < low ? up : low;
      if (side < share || end < share) {
        const across = side < share ? share - side : 0;
        const down = end < share ? share - end : 0;
        // most edges are level or upright
        const slope = down === 0 ? across : across === 0 ? down : Math.sqrt(across * across + down * down);
        bare = share - byPx * slope;
        if (bare < 0) bare = 0;
      }
    }
    into[x] = bare;
    left = share;
    share = right;
  }
}
