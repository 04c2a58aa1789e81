import type { Place } from './homography.ts';
import type { GreyScan } from './scan.ts';

/** Radius of the window around a mark, in its diameters: the mark whole, and paper on all sides. */
const WINDOW = 0.68;

const ROUNDS = 4;

/** Places a side at which black and white are looked for. */
const LEVEL_SIDE = 48;

/** Darkness below this share of the mark's counts as paper: grain of the paper, dust. */
const PAPER_NOISE = 0.2;

/** Black of a mark and white of the paper around it: a tenth of the window is darker, three twentieths lighter. */
function levels(scan: GreyScan, cx: number, cy: number, radius: number): { black: number; white: number } {
  const { widthPx, heightPx, codes, light } = scan;
  const values = new Float32Array(LEVEL_SIDE * LEVEL_SIDE);
  let count = 0;
  for (let i = 0; i < values.length; i++) {
    const x = Math.floor(cx + radius * (((i % LEVEL_SIDE) / (LEVEL_SIDE - 1)) * 2 - 1));
    const y = Math.floor(cy + radius * ((Math.floor(i / LEVEL_SIDE) / (LEVEL_SIDE - 1)) * 2 - 1));
    if ((x - cx) ** 2 + (y - cy) ** 2 > radius * radius) continue;
    if (x >= 0 && y >= 0 && x < widthPx && y < heightPx) values[count++] = light[codes[y * widthPx + x]!]!;
  }
  const sorted = values.subarray(0, count).sort();
  return { black: sorted[Math.floor(0.1 * count)]!, white: sorted[Math.floor(0.85 * count)]! };
}

/** The centre of a dark round mark to a fraction of a pixel: centroid of its darkness, taken again about each result. */
export function refined(scan: GreyScan, xPx: number, yPx: number, diameterPx: number): Place {
  const { widthPx, heightPx, codes, light } = scan;
  const radius = WINDOW * diameterPx;
  const { black, white } = levels(scan, xPx, yPx, radius);
  let [cx, cy] = [xPx, yPx];
  for (let round = 0; round < ROUNDS; round++) {
    const top = Math.max(0, Math.floor(cy - radius));
    const bottom = Math.min(heightPx, Math.ceil(cy + radius));
    let [n, sx, sy] = [0, 0, 0];
    for (let y = top; y < bottom; y++) {
      const half = Math.sqrt(Math.max(0, radius * radius - (y + 0.5 - cy) ** 2));
      const left = Math.max(0, Math.round(cx - half));
      const right = Math.min(widthPx, Math.round(cx + half));
      for (let x = left; x < right; x++) {
        const dark = Math.min(1, (white - light[codes[y * widthPx + x]!]!) / (white - black));
        if (dark < PAPER_NOISE) continue;
        n += dark;
        sx += dark * (x + 0.5);
        sy += dark * (y + 0.5);
      }
    }
    if (n === 0) break;
    const moved = Math.hypot(sx / n - cx, sy / n - cy);
    [cx, cy] = [sx / n, sy / n];
    if (moved < 0.01) break;
  }
  return [cx, cy];
}
