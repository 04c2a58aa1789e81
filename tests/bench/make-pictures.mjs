/**
 * Draws a shore as a camera might see it, 24 megapixels: soft sky, hard edges, fine texture, sensor noise. The same bytes each time.
 * Run by pictures.mjs: node make-pictures.mjs <baseline JPEG> <progressive JPEG on its side>
 */
import { renameSync } from 'node:fs';
import sharp from 'sharp';

const WIDTH = 6000;
const HEIGHT = 4000;

/** Even numbers 0…1, the same for the same place (mixing steps as in MurmurHash3's finaliser, A. Appleby 2011). */
function chanceAt(x, y, seed) {
  let h = Math.imul(x, 0x9e3779b1) ^ Math.imul(y, 0x85ebca6b) ^ Math.imul(seed, 0xc2b2ae35);
  h = Math.imul(h ^ (h >>> 16), 0x85ebca6b);
  h = Math.imul(h ^ (h >>> 13), 0xc2b2ae35);
  return ((h ^ (h >>> 16)) >>> 0) / 2 ** 32;
}

const eased = (t) => t * t * (3 - 2 * t);

/** Adds one row of cloudy noise, ± `amount`: chance on a lattice of `grainPx`, blended in between. */
function addNoise(row, y, grainPx, amount, seed) {
  const top = Math.floor(y / grainPx);
  const down = eased(y / grainPx - top);
  const knot = (x) => chanceAt(x, top, seed) * (1 - down) + chanceAt(x, top + 1, seed) * down;
  for (let from = 0, cell = 0; from < row.length; from += grainPx, cell++) {
    const [left, right] = [knot(cell), knot(cell + 1)];
    const to = Math.min(row.length, from + grainPx);
    for (let x = from; x < to; x++)
      row[x] += amount * (2 * (left + (right - left) * eased((x - from) / grainPx)) - 1);
  }
}

/** Sensor noise: the sum of two even numbers, so small deviations are the likely ones. */
const sensorNoise = (x, y) => 12 * (chanceAt(x, y, 91) + chanceAt(x, y, 92) - 1);

const SKYLINE_PX = 2200;
const SHORE_PX = 2900;
const hills = new Float64Array(WIDTH).fill(SKYLINE_PX - 250);
addNoise(hills, 0, 1500, 260, 1);
addNoise(hills, 0, 240, 70, 2);
addNoise(hills, 0, 30, 8, 3);

const houses = Array.from({ length: 34 }, (_, i) => {
  const left = 60 + i * 172 + Math.floor(60 * chanceAt(i, 0, 5));
  const width = 70 + Math.floor(90 * chanceAt(i, 1, 5));
  const top = SKYLINE_PX + Math.floor(420 * chanceAt(i, 2, 5));
  return { left, right: left + width, top, light: 60 + 170 * chanceAt(i, 3, 5) };
});

const sunDistance = (x, y) => Math.hypot(x - 4300, y - 800);

function sky(light, y) {
  light.fill(150 + (80 * y) / SKYLINE_PX);
  addNoise(light, y, 900, 34, 11);
  addNoise(light, y, 210, 14, 12);
  addNoise(light, y, 48, 5, 13);
  for (let x = 3000; x < 5600; x++) {
    const distance = sunDistance(x, y);
    light[x] = distance < 240 ? 252 : light[x] + 40 * Math.exp(-distance / 500);
  }
}

function land(light, y) {
  light.fill(70);
  addNoise(light, y, 300, 26, 21);
  addNoise(light, y, 24, 22, 22);
  addNoise(light, y, 6, 22, 23);
  addNoise(light, y, 2, 30, 24);
}

function water(light, y) {
  light.fill(110 - (50 * (y - SHORE_PX)) / (HEIGHT - SHORE_PX));
  // ripples are wide and low: the same noise, looked at sideways
  addNoise(light, y * 5, 160, 26, 31);
  addNoise(light, y * 4, 36, 16, 32);
  addNoise(light, y * 2, 6, 10, 33);
}

function addHouses(light, y) {
  for (const { left, right, top, light: wall } of houses) {
    if (y < top) continue;
    for (let x = left; x < right; x++) {
      const isWindow = (x - left) % 28 > 16 && (y - top) % 44 > 26;
      light[x] = isWindow ? 25 : wall - (x > right - 14 ? 35 : 0);
    }
  }
}

function drawRow(y, light, ground, rgb) {
  const isWater = y >= SHORE_PX;
  if (isWater) water(light, y);
  else {
    sky(light, y);
    land(ground, y);
    for (let x = 0; x < WIDTH; x++) if (y > hills[x]) light[x] = ground[x];
    addHouses(light, y);
  }
  for (let x = 0, at = y * WIDTH * 3; x < WIDTH; x++, at += 3) {
    const warm = isWater ? -14 : y > hills[x] ? 10 : -8;
    const v = light[x] + sensorNoise(x, y);
    rgb[at] = v + warm;
    rgb[at + 1] = v;
    rgb[at + 2] = v - warm;
  }
}

const rgb = new Uint8ClampedArray(WIDTH * HEIGHT * 3);
const [light, ground] = [new Float64Array(WIDTH), new Float64Array(WIDTH)];
for (let y = 0; y < HEIGHT; y++) drawRow(y, light, ground, rgb);

const picture = () => sharp(rgb, { raw: { width: WIDTH, height: HEIGHT, channels: 3 } });
const jpeg = { quality: 90, chromaSubsampling: '4:2:0' };
const [baseline, progressive] = process.argv.slice(2);
// under their names only when whole: a run that was stopped must not leave half a picture for the next
const whole = async (path, made) => {
  await made.toFile(`${path}.part`);
  renameSync(`${path}.part`, path);
};
await whole(baseline, picture().jpeg(jpeg));
await whole(
  progressive,
  picture()
    .withMetadata({ orientation: 6 })
    .jpeg({ ...jpeg, progressive: true }),
);
