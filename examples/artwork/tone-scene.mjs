import { FUNNEL_TOP } from './ferry.mjs';
import { clamp, clouds, mix, ramp, stream } from './noise.mjs';

export const TONE_SIZE = { widthPx: 1800, heightPx: 1200 };
export const WIDTH = TONE_SIZE.widthPx;
export const HEIGHT = TONE_SIZE.heightPx;
export const HORIZON = 690;
export const MOON = { x: 540, y: 232, r: 62 };
export const LIGHT = { x: 1508, y: 438 };
export const FERRY = { x: 760, y: 792, scale: 0.74 };
/** The bow points the other way than on the key block: she comes home. */
export const aboard = ({ x, y }) => ({ x: FERRY.x + (1000 - x) * FERRY.scale, y: FERRY.y + y * FERRY.scale });

/** Lamps of Port Ennerby along the water, each with its own brightness. */
function townLamps() {
  const next = stream(5);
  return Array.from({ length: 30 }, (_, i) => {
    const x = 1180 + i * 20 + 13 * next();
    return {
      x,
      y: HORIZON - 6 - 26 * next() ** 2 - ramp(1250, 1700, x) * 34 * next(),
      strength: 0.25 + 0.75 * next() ** 2,
    };
  });
}
export const TOWN = townLamps();

const far = (x, y, to) => Math.hypot(x - to.x, y - to.y);

const ridge = (x, seed, roughPx) => clouds(x / roughPx, seed, seed, 6) - 0.5;
const HILLS = [
  {
    top: (x) =>
      HORIZON -
      74 -
      150 * Math.exp(-(((x - 980) / 420) ** 2)) -
      90 * Math.exp(-(((x - 120) / 300) ** 2)) +
      80 * ridge(x, 51, 210),
    light: 0.13,
    fog: 0.58,
  },
  {
    top: (x) =>
      HORIZON -
      40 -
      70 * Math.exp(-(((x - 250) / 360) ** 2)) -
      96 * Math.exp(-(((x - 1320) / 300) ** 2)) +
      60 * ridge(x, 52, 130),
    light: 0.075,
    fog: 0.4,
  },
  {
    top: (x) =>
      HORIZON +
      6 -
      ramp(1080, 1560, x) * 150 -
      ramp(1500, 1800, x) * 60 +
      46 * ridge(x, 53, 90) * ramp(1080, 1300, x),
    light: 0.03,
    fog: 0.09,
  },
];

/** Light of the open sky, before hills: gradient, moon with its glow, banks of cloud, stars. */
function skyLight(x, y, stars) {
  const up = clamp((HORIZON - y) / HORIZON);
  const d = far(x, y, MOON);
  const glow = 0.5 * Math.exp(-d / 90) + 0.24 * Math.exp(-d / 300);
  let light = mix(0.19, 0.012, up ** 0.55) + glow;
  const bend = 60 * (clouds(x / 300, y / 120, 71, 3) - 0.5);
  const bank = clouds((x + bend) / 330 + 1.7, (y + bend * 0.5) / 74 + 4, 72, 7);
  const thick = ramp(0.47, 0.74, bank) * ramp(40, 260, y) * ramp(HORIZON + 40, HORIZON - 130, y);
  const rim = ramp(0.43, 0.53, bank) * ramp(0.68, 0.53, bank);
  const disc = ramp(MOON.r + 1.2, MOON.r - 1.2, d);
  if (disc > 0)
    light = mix(
      light,
      1.25 - 0.5 * ramp(0.42, 0.68, clouds(x / 36 + 2, y / 36, 81, 5)) - 0.1 * (d / MOON.r) ** 2,
      disc,
    );
  else light += stars * (1 - thick) * ramp(90, 300, d);
  light = mix(light, 0.05 + 0.72 * glow + 0.13 * bank ** 2, thick * 0.8);
  light += rim * (0.02 + 0.5 * glow) * ramp(30, 200, y);
  return light;
}

function smokeAt(x, y) {
  const top = aboard(FUNNEL_TOP);
  const along = top.x - x;
  if (along < -14) return 0;
  const middle = top.y - 22 - 110 * (1 - Math.exp(-along / 210)) + 46 * (clouds(along / 120, 2, 61, 3) - 0.5);
  const half = 12 + along * 0.13;
  const curl = clouds(x / 44 + 3, y / 30, 62, 5);
  return ramp(1.1, 0.35, Math.abs(y - middle) / (half * (0.5 + curl))) * ramp(620, 60, along) * (0.35 + curl);
}

function beamAt(x, y) {
  const dx = LIGHT.x - x;
  if (dx < 0) return 0;
  const off = Math.abs(y - LIGHT.y + dx * 0.13) / (4 + dx * 0.05);
  return (
    0.34 * Math.exp(-off * off * 1.6) * Math.exp(-dx / 620) * (0.7 + 0.5 * clouds(x / 120, y / 50, 91, 4))
  );
}

/** Lamp light: a small hot core and a wide soft glow in the damp air. */
export const lampLight = (x, y, { x: lx, y: ly, strength }) => {
  const d2 = (x - lx) ** 2 + (y - ly) ** 2;
  return strength * (2.6 * Math.exp(-d2 / 5) + 0.34 / (1 + d2 / 60) ** 1.2);
};

function starField() {
  const field = new Float32Array(WIDTH * HORIZON);
  const next = stream(77);
  for (let i = 0; i < 620; i++) {
    const sx = 2 + next() * (WIDTH - 5);
    const sy = 2 + next() ** 1.25 * (HORIZON - 180);
    const strength = 0.12 + 1.1 * next() ** 7;
    for (let y = Math.floor(sy) - 2; y <= sy + 3; y++) {
      for (let x = Math.floor(sx) - 2; x <= sx + 3; x++) {
        if (x < 0 || y < 0) continue;
        field[y * WIDTH + x] +=
          strength * Math.exp(-((x - sx) ** 2 + (y - sy) ** 2) / (0.55 + strength * 0.7));
      }
    }
  }
  return field;
}

/** All above the water, as light; rows below the horizon stay empty until the sea is made. */
export function landscape() {
  const light = new Float32Array(WIDTH * HEIGHT);
  const stars = starField();
  const lamps = TOWN;
  for (let y = 0; y < HORIZON; y++) {
    for (let x = 0; x < WIDTH; x++) {
      let value = skyLight(x, y, stars[y * WIDTH + x]);
      for (const [i, hill] of HILLS.entries()) {
        const top = hill.top(x);
        const inside = ramp(top - 0.7, top + 0.7, y);
        if (inside === 0) continue;
        const wood = clouds(x / 26, y / 13, 55 + i, 5);
        const mist =
          hill.fog *
          ramp(top + 10, HORIZON + 6, y) *
          (0.55 + 0.75 * clouds(x / 240, y / 44, 58 + i, 4)) *
          0.42;
        const edge = 0.07 * ramp(top + 9, top, y) * Math.exp(-Math.abs(x - MOON.x) / 700);
        value = mix(value, hill.light * (0.5 + wood) + mist + edge, inside);
      }
      value = mix(
        value,
        0.035 + 0.05 * Math.exp(-far(x, y, MOON) / 300),
        clamp(smokeAt(x, y) * 1.25, 0, 0.8),
      );
      value += beamAt(x, y);
      if (x > 1000)
        for (const lamp of lamps) if (Math.abs(lamp.x - x) < 130) value += lampLight(x, y, lamp) * 0.8;
      value += lampLight(x, y, { ...LIGHT, strength: 1.9 });
      light[y * WIDTH + x] = value;
    }
  }
  return light;
}
