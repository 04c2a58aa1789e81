/** Times the hold measures on a plate of 600 × 300 mm at 1,000 dpi, in processor time and as ratios to one count of its bits. */
import { type Bitmap, countBits, createBitmap, fillRow, setBit } from '../../src/core/bitmap.ts';
import { checkHold } from '../../src/core/hold/check.ts';
import type { HoldNeed } from '../../src/core/hold/contract.ts';
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

const relief: HoldNeed[] = [
  { code: 'thin-wall', measure: 'walls', side: 'kept', limit: 'wall' },
  { code: 'small-dot', measure: 'dots', side: 'kept', limit: 'wall' },
  { code: 'gap-fills', measure: 'thin', side: 'etched', limit: 'gap', goesOnOutside: true },
  { code: 'floor-touched', measure: 'wide', side: 'etched', limit: 'floor' },
  { code: 'kept-ring', measure: 'ring', side: 'kept', limit: 'ring' },
  { code: 'in-saw', measure: 'keepOut', side: 'kept', limit: 'saw' },
];
const intaglio: HoldNeed[] = [
  { code: 'thin-land', measure: 'thin', side: 'kept', limit: 'land' },
  { code: 'small-mark', measure: 'dots', side: 'etched', limit: 'mark' },
  { code: 'open-bite', measure: 'wide', side: 'etched', limit: 'pool' },
  { code: 'open-bite-field', measure: 'merged', side: 'etched', limit: 'pool' },
  { code: 'in-bevel', measure: 'keepOut', side: 'etched', limit: 'bevel' },
];
const LIMITS_MM = {
  wall: 0.4,
  gap: 0.3,
  floor: 10,
  ring: 0,
  saw: 3,
  land: 0.08,
  mark: 0.2,
  pool: 0.8,
  bevel: 4,
};
const limits = Object.fromEntries(
  Object.entries(LIMITS_MM).map(([key, mm]) => [key, { mm, basis: 'from-memory' as const }]),
);

for (const [name, make] of [
  ['line art', lineArt],
  ['error diffusion', halftone],
] as const) {
  const map = make();
  console.log(`\n${name}, ${WIDE} × ${HIGH} px; rss ${Math.round(process.memoryUsage.rss() / 1e6)} MB`);
  countBits(map.data);
  const unit = time('count bits', 0, () => countBits(map.data));
  const settings = { pitchMm: 0.0254, spotMm: 0.1, limits };
  for (const [kind, needs] of Object.entries({ relief, intaglio })) {
    for (const need of needs) {
      time(`${kind} ${need.code}`, unit, () =>
        checkHold(map, [need], settings).map(
          ({ worstMm, count, share }) =>
            `worst ${worstMm?.toFixed(3)}, count ${count}, share ${share.toFixed(3)}`,
        ),
      );
    }
    time(`${kind}, all together`, unit, () => checkHold(map, needs, settings).length);
  }
  console.log(`peak rss ${Math.round(process.resourceUsage().maxRSS / 1e3)} MB`);
}
