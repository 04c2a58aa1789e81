import type { Place } from './homography.ts';
import type { GreyScan } from './scan.ts';

/** Radius of the window around a mark, in its diameters: the mark whole, and paper on all sides. */
const WINDOW = 0.68;

const ROUNDS = 4;

/** Pixels along a mark that are enough: each edge is then met so often that its blur evens out. */
const ENOUGH_PX = 45;

/** Places a side at which black and white are looked for. */
const LEVEL_SIDE = 32;

/** Darkness below this share of the mark's counts as paper: grain of the paper, dust. */
const PAPER_NOISE = 0.2;

/** Darkness of a mark in the sums, of few enough bits that those of a row stay whole numbers of 31. */
const DARK_BITS = 8;
const DARK = 1 << DARK_BITS;

/** Black of a mark and white of the paper around it: a tenth of the window is darker, three twentieths lighter. */
function levels(scan: GreyScan, cx: number, cy: number, radius: number): { black: number; white: number } {
  const { widthPx, heightPx, codes, light } = scan;
  const values = new Uint16Array(LEVEL_SIDE * LEVEL_SIDE);
  let count = 0;
  for (let j = 0; j < LEVEL_SIDE; j++) {
    const off = (j / (LEVEL_SIDE - 1)) * 2 - 1;
    const y = Math.floor(cy + radius * off);
    if (y < 0 || y >= heightPx) continue;
    const half = radius * Math.sqrt(1 - off * off);
    const from = Math.max(0, Math.ceil(cx - half));
    const to = Math.min(widthPx, Math.floor(cx + half) + 1);
    const step = Math.max(1, Math.ceil((2 * radius) / LEVEL_SIDE));
    for (let x = from; x < to; x += step) values[count++] = light[codes[y * widthPx + x]!]!;
  }
  const sorted = values.subarray(0, count).sort();
  return { black: sorted[Math.floor(0.1 * count)]!, white: sorted[Math.floor(0.85 * count)]! };
}

/** Adds the darkness of every `step`th of `count` pixels from `at` on: how much, and its moment about the first. */
function addRow(
  { codes, light }: GreyScan,
  at: number,
  count: number,
  step: number,
  { black, white }: { readonly black: number; readonly white: number },
  sums: Int32Array,
): void {
  const range = Math.max(1, white - black);
  // darkness in 256ths without a division: the quotient to 12 bits more
  const by = Math.round((DARK << 12) / range);
  const least = Math.ceil(PAPER_NOISE * range);
  let [n, moment] = [0, 0];
  for (let i = 0; i < count; i += step) {
    const below = white - light[codes[at + i]!]!;
    if (below < least) continue;
    const dark = below < range ? (below * by) >> 12 : DARK;
    n += dark;
    moment += dark * i;
  }
  sums[0] = n;
  sums[1] = moment;
}

/** The centre of a dark round mark to a fraction of a pixel: centroid of its darkness, taken again about each result. */
export function refined(scan: GreyScan, xPx: number, yPx: number, diameterPx: number): Place {
  const { widthPx, heightPx } = scan;
  const radius = WINDOW * diameterPx;
  const step = Math.max(1, Math.floor(diameterPx / ENOUGH_PX));
  const ends = levels(scan, xPx, yPx, radius);
  const sums = new Int32Array(2);
  let [cx, cy] = [xPx, yPx];
  for (let round = 0; round < ROUNDS; round++) {
    const top = Math.max(0, Math.floor(cy - radius));
    const bottom = Math.min(heightPx, Math.ceil(cy + radius));
    let [n, sx, sy] = [0, 0, 0];
    for (let y = top; y < bottom; y += step) {
      const half = Math.sqrt(Math.max(0, radius * radius - (y + 0.5 - cy) ** 2));
      const left = Math.max(0, Math.round(cx - half));
      const right = Math.min(widthPx, Math.round(cx + half));
      addRow(scan, y * widthPx + left, right - left, step, ends, sums);
      n += sums[0]!;
      sx += sums[1]! + sums[0]! * (left + 0.5);
      sy += sums[0]! * (y + 0.5);
    }
    if (n === 0) break;
    const moved = Math.hypot(sx / n - cx, sy / n - cy);
    [cx, cy] = [sx / n, sy / n];
    if (moved < 0.01) break;
  }
  return [cx, cy];
}
