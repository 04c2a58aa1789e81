import { createBitmap } from '../../../dist/core/bitmap.js';
import { FULL_TONE, openPlates } from './plates.mjs';

const WIDTH_PX = 4096;
const ROWS = 512;
const ROUNDS = 5;
const SPOT_PX = 2;

/** Processor time of this process so far. */
const cpuMs = () => {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1000;
};

/** A slope with waves on it, so that no branch is foreseen for long. */
const tones = () =>
  Array.from({ length: ROWS }, (_, y) =>
    Uint16Array.from({ length: WIDTH_PX }, (_, x) => {
      const ink = x / WIDTH_PX + 0.2 * Math.sin(x / 19) * Math.sin(y / 23);
      return Math.round(Math.min(1, Math.max(0, ink)) * FULL_TONE);
    }),
  );

/** Megapixels a second of every screen's row kernel, and with the trim it asks for: best of the rounds, all in turn in each. */
export function measureSpeed(screens) {
  const rows = tones();
  const runs = screens.map((screen) => {
    try {
      return openPlates(screen, SPOT_PX);
    } catch {
      return null; // what cannot be done at this spot is told with the other figures
    }
  });
  const best = screens.map(() => ({ kernel: Number.POSITIVE_INFINITY, whole: Number.POSITIVE_INFINITY }));
  for (let round = 0; round <= ROUNDS; round++)
    for (const [i, plates] of runs.entries()) {
      if (!plates) continue;
      const map = createBitmap(WIDTH_PX, ROWS);
      const from = cpuMs();
      const row = plates.open(WIDTH_PX, 0);
      for (let y = 0; y < ROWS; y++) row(rows[y], y, map.data, y * map.strideBytes);
      const kernel = cpuMs() - from;
      plates.trim(map);
      const whole = cpuMs() - from;
      // the first round is for the compiler
      if (round === 0) continue;
      best[i].kernel = Math.min(best[i].kernel, kernel);
      best[i].whole = Math.min(best[i].whole, whole);
    }
  const speed = (ms) => (WIDTH_PX * ROWS) / 1000 / ms;
  return best.map(({ kernel, whole }) => ({ kernel: speed(kernel), whole: speed(whole) }));
}
