import type { PlaneSize } from './box.ts';
import { remembered, type ShareRows } from './rows.ts';

/**
 * Longest step in pixels: a front that runs slantwise crosses its pixel within two of them (the bound of
 * Courant, Friedrichs & Lewy 1928 for this scheme is 1/√2).
 */
const STEP_PX = 0.5;

/**
 * Ink that is pressed out over its edge by `byPx` pixels on every side. Shares grow by the slope of the plane, as
 * a front that moves at an even speed (upwind scheme of Osher & Sethian 1988; Brockett & Maragos 1992 for
 * dilation; both from memory). Straight edges come out exactly; more squash never gives less ink.
 */
export function squashed(rows: ShareRows, size: PlaneSize, byPx: number): ShareRows {
  let grown = rows;
  for (let left = byPx; left > 1e-9; left -= STEP_PX) grown = stepped(grown, size, Math.min(left, STEP_PX));
  return grown;
}

function stepped(rows: ShareRows, { widthPx, heightPx }: PlaneSize, byPx: number): ShareRows {
  const row = remembered(rows, widthPx, 3);
  const last = widthPx - 1;
  return (y, into) => {
    const above = row(Math.max(0, y - 1));
    const here = row(y);
    const below = row(Math.min(heightPx - 1, y + 1));
    for (let x = 0; x < widthPx; x++) {
      const share = here[x]!;
      if (share >= 1) {
        into[x] = share;
        continue;
      }
      const across = Math.max(here[x === 0 ? 0 : x - 1]!, here[x === last ? last : x + 1]!, share) - share;
      const down = Math.max(above[x]!, below[x]!, share) - share;
      into[x] = Math.min(1, share + byPx * Math.sqrt(across * across + down * down));
    }
  };
}
