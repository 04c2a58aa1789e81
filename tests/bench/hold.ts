/** Times the hold measures on a plate of 600 × 300 mm at 1,000 dpi, in processor time and as ratios to one count of its bits. */
import { type Bitmap, countBits, createBitmap, fillRow, setBit } from '../../src/core/bitmap.ts';
import { findThin } from '../../src/core/hold/thin.ts';
import { rowStream } from '../../src/core/rng.ts';

const WIDE = 23622;
const HIGH = 11811;

/** Discs, rings and slanting bars, as a poster has them. */
function lineArt(): Bitmap {
  const map = createBitmap(WIDE, HIGH);
  const bar = (y: number, from: number, to: number): void =>
    fillRow(map.data, y * map.strideBytes, Math.max(0, Math.round(from)), Math.min(WIDE, Math.round(to)), 1);
  for (let y = 0; y < HIGH; y++) {
    for (let i = 0; i < 40; i++) {
      const r = 150 + 37 * i;
      const dy = y - ((i * 2909) % HIGH);
      const x = (i * 7919) % WIDE;
      if (Math.abs(dy) < r) bar(y, x - Math.sqrt(r * r - dy * dy), x + Math.sqrt(r * r - dy * dy));
      const slant = x + dy * (i / 20 - 1);
      if (Math.abs(dy) < 2500) bar(y, slant - 10 - i, slant + 10 + i);
    }
  }
  return map;
}

/** Floyd & Steinberg 1976 over a slow ramp from 5 to 80 %. */
function halftone(): Bitmap {
  const map = createBitmap(WIDE, HIGH);
  let row = new Float32Array(WIDE + 2);
  let next = new Float32Array(WIDE + 2);
  const random = rowStream(1, 0, 0);
  for (let x = 0; x < WIDE + 2; x++) row[x] = random() / 2 ** 32 - 0.5;
  for (let y = 0; y < HIGH; y++) {
    next.fill(0);
    let right = 0;
    for (let x = 0; x < WIDE; x++) {
      const want = 0.05 + (0.75 * x) / WIDE + row[x + 1]! + right;
      const on = want > 0.5;
      const error = want - (on ? 1 : 0);
      if (on) setBit(map, x, y, 1);
      right = (error * 7) / 16;
      next[x] = next[x]! + (error * 3) / 16;
      next[x + 1] = next[x + 1]! + (error * 5) / 16;
      next[x + 2] = error / 16;
    }
    [row, next] = [next, row];
  }
  return map;
}

const time = (name: string, unit: number, run: () => unknown): number => {
  const start = process.cpuUsage();
  const result = run();
  const ms = process.cpuUsage(start).user / 1000;
  console.log(
    `${name.padEnd(34)} ${ms.toFixed(0).padStart(6)} ms  x ${(ms / (unit || ms)).toFixed(1)}  ${String(result)}`,
  );
  return ms;
};

for (const [name, make] of [
  ['line art', lineArt],
  ['error diffusion', halftone],
] as const) {
  const map = make();
  console.log(`\n${name}, ${WIDE} × ${HIGH} px`);
  countBits(map.data);
  const unit = time('count bits', 0, () => countBits(map.data));
  for (const side of ['kept', 'etched'] as const) {
    for (const widthPx of [3, 8, 16]) {
      let spots = 0;
      time(`thin ${side}, ${widthPx} px`, unit, () => {
        const thin = findThin(map, { side, widthPx }, () => spots++);
        return `${((100 * thin) / (WIDE * HIGH)).toFixed(2)} % thin, ${spots} spots`;
      });
    }
  }
}
