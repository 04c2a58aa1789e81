import { FERRY_LAMPS, ferryDark, ferryLights, ferryTrim } from './ferry.mjs';
import { clamp, clouds, mix, noise, ramp, stream } from './noise.mjs';
import { aboard, FERRY, HEIGHT, HORIZON, LIGHT, lampLight, landscape, WIDTH } from './tone-scene.mjs';
import { fog, sea, streaks, wash } from './tone-water.mjs';

/** Silhouettes are drawn as shapes and laid in as masks: `dark` covers, `lit` shines, `trim` is paint in moonlight. */
function silhouettes() {
  const svg = (inner) =>
    `<svg xmlns="http://www.w3.org/2000/svg" width="${WIDTH}" height="${HEIGHT}" color="#fff" fill="#fff"><rect width="100%" height="100%" fill="#000"/>${inner}</svg>`;
  const ship = (inner) =>
    `<g transform="translate(${FERRY.x + 1000 * FERRY.scale} ${FERRY.y}) scale(${-FERRY.scale} ${FERRY.scale})">${inner}</g>`;
  const { x, y } = LIGHT;
  const tower = `<path d="M${x - 9},${y + 16}h18l9,172h-36Z M${x - 15},${y + 11}h30v6h-30Z M${x - 9},${y - 11}h18v-4l-9,-11l-9,11Z"/>
    <path d="M${x - 9},${y - 12}v24M${x + 9},${y - 12}v24" stroke="#fff" stroke-width="2"/>`;
  const next = stream(14);
  let houses = '';
  let panes = '';
  for (let at = 1200; at < 1790; ) {
    const width = mix(17, 34, next());
    const wall = mix(14, 30, next()) + ramp(1250, 1700, at) * 22 * next();
    const roof = width * mix(0.3, 0.5, next());
    houses += `<path d="M${at},${HORIZON + 3}v${-wall}l${width / 2},${-roof}l${width / 2},${roof}v${wall}Z M${at + width * 0.68},${HORIZON - wall}v${-roof - 3}h3.5v${roof + 3}Z"/>`;
    for (const part of [0.2, 0.6])
      if (next() > 0.45)
        panes += `<rect x="${at + width * part}" y="${HORIZON - wall + 5}" width="4" height="5.5"/>`;
    at += width + 1 + 9 * next() ** 3;
  }
  const mole = `<path d="M1110,${HORIZON + 4}v-9h700v9Z M1136,${HORIZON - 6}v-34h3v34Z"/>`;
  return {
    shore: svg(tower + houses + mole),
    panes: svg(panes),
    dark: svg(ship(ferryDark())),
    lit: svg(ship(ferryLights())),
    trim: svg(ship(ferryTrim())),
  };
}

/** The ferry lies darker below and catches the moon on her upper edges; her lights shine. */
function layIn(light, masks) {
  for (let y = 0; y < HEIGHT; y++) {
    for (let x = 0; x < WIDTH; x++) {
      const at = y * WIDTH + x;
      const sheen = 0.045 * ramp(FERRY.y - 20, FERRY.y - 150, y) + 0.012 * clouds(x / 40, y / 6, 15, 4);
      light[at] = mix(light[at], 0.006 + sheen, masks.dark[at] / 255);
      light[at] = mix(light[at], 0.3, (masks.trim[at] / 255) * 0.8);
      light[at] = mix(light[at], 1.05 + 0.4 * noise(x / 23, 3, 16), masks.lit[at] / 255);
      light[at] += 0.22 * (masks.litGlow[at] / 255) + 0.9 * (masks.litFar[at] / 255);
    }
  }
  wash(light);
  for (const lamp of FERRY_LAMPS) {
    const place = { ...aboard(lamp), strength: lamp.strength };
    for (let y = Math.floor(place.y) - 130; y < place.y + 130; y++) {
      for (let x = Math.floor(place.x) - 130; x < place.x + 130; x++) {
        if (x >= 0 && x < WIDTH && y < HEIGHT) light[y * WIDTH + x] += lampLight(x, y, place) * 0.9;
      }
    }
  }
}

/** Light to grey codes: a soft shoulder for lamps and moon, a little grain, corners a shade darker. */
function develop(light) {
  const grey = Buffer.alloc(WIDTH * HEIGHT);
  const grain = stream(123);
  for (let y = 0; y < HEIGHT; y++) {
    for (let x = 0; x < WIDTH; x++) {
      const corner =
        1 - 0.3 * ramp(0.55, 1.25, Math.hypot((x / WIDTH - 0.5) * 1.6, (y / HEIGHT - 0.5) * 1.5));
      const tone = (1 - Math.exp(-2.25 * Math.max(0, light[y * WIDTH + x]) * corner)) ** 0.86;
      grey[y * WIDTH + x] = Math.round(clamp(tone * 272 - 9 + (grain() - 0.5) * 4, 0, 255));
    }
  }
  return grey;
}

/** The whole picture as grey codes; `rasterise` turns SVG into one 8-bit mask, blurred if asked. */
export async function tonePicture(rasterise) {
  const shapes = silhouettes();
  const masks = {};
  for (const name of ['shore', 'panes', 'dark', 'lit', 'trim']) masks[name] = await rasterise(shapes[name]);
  masks.litGlow = await rasterise(shapes.lit, 16);
  masks.litFar = await rasterise(shapes.lit, 5);
  const light = landscape();
  for (let i = 0; i < light.length; i++) {
    const y = Math.floor(i / WIDTH);
    const misty = y < LIGHT.y + 194 ? 1 - 0.9 * ramp(LIGHT.y + 110, LIGHT.y + 188, y) : 1; // the tower's foot stands in fog
    light[i] = mix(light[i], 0.035, (masks.shore[i] / 255) * 0.9 * misty);
    light[i] = mix(light[i], 0.8, masks.panes[i] / 255);
  }
  sea(light, masks);
  streaks(light);
  fog(light);
  layIn(light, masks);
  return develop(light);
}
