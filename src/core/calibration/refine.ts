import type { Place } from './homography.ts';
import type { GreyScan } from './scan.ts';

/** Radius of the window around a mark, in its diameters: the mark whole, and paper on all sides. */
const WINDOW = 0.68;

const ROUNDS = 4;

/** Darkness below this share of the mark's counts as paper: grain of the paper, dust. */
const PAPER_NOISE = 0.2;

/** Light that a share of the window's pixels is darker than. */
function ranked(values: Float32Array, share: number): number {
  return values[Math.min(values.length - 1, Math.floor(share * values.length))]!;
}

/** The centre of a dark round mark to a fraction of a pixel: centroid of its darkness, taken again about each result. */
export function refined(scan: GreyScan, xPx: number, yPx: number, diameterPx: number): Place {
  const { widthPx, heightPx, codes, light } = scan;
  let [cx, cy] = [xPx, yPx];
  const radius = WINDOW * diameterPx;
  for (let round = 0; round < ROUNDS; round++) {
    const top = Math.max(0, Math.floor(cy - radius));
    const bottom = Math.min(heightPx, Math.ceil(cy + radius));
    const left = Math.max(0, Math.floor(cx - radius));
    const right = Math.min(widthPx, Math.ceil(cx + radius));
    const inside = (x: number, y: number) => (x + 0.5 - cx) ** 2 + (y + 0.5 - cy) ** 2 < radius * radius;
    const values: number[] = [];
    for (let y = top; y < bottom; y++) {
      for (let x = left; x < right; x++) {
        if (inside(x, y)) values.push(light[codes[y * widthPx + x]!]!);
      }
    }
    const sorted = Float32Array.from(values).sort();
    const [black, white] = [ranked(sorted, 0.1), ranked(sorted, 0.85)];
    let [n, sx, sy] = [0, 0, 0];
    for (let y = top; y < bottom; y++) {
      for (let x = left; x < right; x++) {
        if (!inside(x, y)) continue;
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
