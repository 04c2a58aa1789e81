import { FERRY_LAMPS } from './ferry.mjs';
import { clamp, clouds, mix, ramp } from './noise.mjs';
import { aboard, FERRY, HEIGHT, HORIZON, LIGHT, MOON, TOWN, WIDTH } from './tone-scene.mjs';

/** The sea mirrors what is above it, drawn out and broken by the slopes of its waves. */
export function sea(light, masks) {
  for (let y = HORIZON; y < HEIGHT; y++) {
    const depth = (y - HORIZON) / (HEIGHT - HORIZON);
    const longPx = mix(15, 150, depth);
    const highPx = mix(2.1, 19, depth);
    for (let x = 0; x < WIDTH; x++) {
      const swell = clouds(x / (longPx * 3.1), y / (highPx * 3.3), 31, 3) - 0.5;
      const chop = clouds(x / longPx + swell * 2, y / highPx, 32, 5) - 0.5;
      const ripple = clouds(x / (longPx * 0.16), y / (highPx * 0.2), 34, 3) - 0.5;
      const slope = swell * 0.8 + chop * 1.25 + ripple * 0.34;
      let sum = 0;
      for (let k = -3; k <= 3; k++) {
        const mirrorY = 2 * HORIZON - y - mix(26, 500, depth ** 0.8) * (slope + k * 0.075) + 6;
        const sideX = x + mix(2, 26, depth) * (chop * 1.6 + ripple + 0.12 * k);
        const sx = clamp(Math.round(sideX), 0, WIDTH - 1);
        const sy = clamp(Math.round(mirrorY < HORIZON ? mirrorY : 2 * HORIZON - mirrorY), 2, HORIZON - 2);
        let seen = Math.min(light[sy * WIDTH + sx], 1.6);
        if (y > FERRY.y) {
          // she lies nearer than the horizon: her image hangs from her own water line
          const calm = ramp(0, 70, y - FERRY.y) * 150;
          const hangs = Math.round(2 * FERRY.y - y - calm * (slope + k * 0.05));
          if (hangs > 0 && hangs < FERRY.y) {
            const from = hangs * WIDTH + clamp(Math.round(x + 14 * chop), 0, WIDTH - 1);
            seen = mix(seen, 0.02, masks.dark[from] / 255) + 1.1 * (masks.lit[from] / 255);
          }
        }
        sum += seen;
      }
      const facing = clamp(0.66 - slope * 0.75, 0.16, 1);
      const body = 0.018 + 0.035 * (swell + 0.5);
      light[y * WIDTH + x] = (sum / 7) * facing * mix(0.95, 0.8, depth) + body;
    }
  }
}

/** Streaks of lamps and moon on the water, broken by the waves. */
export function streaks(light) {
  const sources = [
    ...TOWN.map((lamp) => ({ ...lamp, halfPx: 3, reachPx: 120, foot: HORIZON })),
    ...FERRY_LAMPS.map((lamp) => ({
      ...aboard(lamp),
      strength: lamp.strength,
      halfPx: 5,
      reachPx: 240,
      foot: FERRY.y + 4,
    })),
    { ...LIGHT, strength: 1.1, halfPx: 5, reachPx: 240, foot: HORIZON },
    { ...MOON, strength: 1.25, halfPx: 44, reachPx: 900, foot: HORIZON },
  ];
  for (const { x: lampX, strength, halfPx, reachPx, foot } of sources) {
    for (let y = Math.ceil(foot); y < HEIGHT; y++) {
      const depth = (y - HORIZON) / (HEIGHT - HORIZON);
      const half = halfPx * (0.62 + 2.6 * depth);
      const fade = strength * Math.exp(-(y - foot) / reachPx);
      for (let x = Math.max(0, Math.floor(lampX - half * 4)); x < Math.min(WIDTH, lampX + half * 4); x++) {
        const glint = clouds(x / mix(9, 60, depth), y / mix(1.8, 8.5, depth), 36, 4);
        const off = (x - lampX + half * 2.6 * (glint - 0.5)) / half;
        light[y * WIDTH + x] += fade * Math.exp(-off * off) * (0.05 + 0.95 * ramp(0.47, 0.63, glint));
      }
    }
  }
}

/** Broken white water along her side, highest at the bow. */
export function wash(light) {
  const bow = aboard({ x: 40, y: 0 }).x;
  const stern = aboard({ x: 905, y: 0 }).x;
  for (let x = Math.floor(stern) - 170; x < bow + 30; x++) {
    const swell = 13 * Math.exp(-(((x - bow + 8) / 24) ** 2)) + 5 * ramp(stern + 40, stern - 60, x);
    const along = ramp(stern - 170, stern, x) * ramp(bow + 30, bow + 8, x);
    for (let y = FERRY.y - 24; y < FERRY.y + 16; y++) {
      const off = (y - FERRY.y - 1 + swell * 0.45) / (3.2 + swell * 0.5);
      const foam = ramp(0.4, 0.66, clouds(x / 17, y / 4, 99, 4) + 0.016 * swell);
      light[y * WIDTH + x] += 0.62 * along * foam * Math.exp(-off * off);
    }
  }
}

/** Thin fog lies on the water below the hills. */
export function fog(light) {
  for (let y = HORIZON - 70; y < HORIZON + 90; y++) {
    for (let x = 0; x < WIDTH; x++) {
      const veil =
        Math.exp(-(((y - HORIZON - 2) / 26) ** 2)) *
        (0.15 + 0.75 * ramp(0.35, 0.7, clouds(x / 260, y / 30, 97, 5)));
      const bright = 0.13 + 0.22 * Math.exp(-Math.abs(x - MOON.x) / 330);
      light[y * WIDTH + x] = mix(light[y * WIDTH + x], bright, veil * 0.62);
    }
  }
}
