import { fileURLToPath } from 'node:url';
import sharp from 'sharp';
import { openResampler, TONE_CENTRE } from '../../../dist/core/resample/index.js';
import { toneTable } from '../../../dist/core/tone.js';
import { letteringSheet } from '../../../examples/sheet/lettering.mjs';
import { DPI } from './rows.mjs';

/** Side of every picture in pixels of the plate; a power of two, for the transform. */
export const SIDE_PX = 512;

const scenePath = fileURLToPath(new URL('../../../examples/sound-tone.png', import.meta.url));
/** The ferry, her lights on the water and the moon: a square of the demo picture. */
const SCENE = { leftPx: 440, topPx: 130, sidePx: 1024 };
const PLAIN = { source: 'positive', whitepoint: 1, blackpoint: 0, gamma: 1, cap: 1, floor: 0 };

/** The demo picture at the size of the plate, by the product's own resampler. */
async function openScene() {
  const { data, info } = await sharp(scenePath)
    .toColourspace('b-w')
    .raw()
    .toBuffer({ resolveWithObject: true });
  const table = toneTable({ depthBits: 8, blackCode: 0, whiteCode: 255 }, PLAIN);
  const tones = Int16Array.from(data, (code) => table[code] - TONE_CENTRE);
  const source = {
    widthPx: info.width,
    heightPx: info.height,
    readRow: (y, into, at) => into.set(tones.subarray(y * info.width, (y + 1) * info.width), at),
  };
  const stepPx = SCENE.sidePx / SIDE_PX;
  const axis = (sourcePx, startPx) => ({ sourcePx, outPx: SIDE_PX, startPx, stepPx });
  return (shiftPx) => {
    const x = axis(info.width, SCENE.leftPx + shiftPx.x * stepPx);
    const y = axis(info.height, SCENE.topPx + shiftPx.y * stepPx);
    const resample = openResampler(source, x, y);
    const row = new Uint16Array(SIDE_PX);
    const ink = new Float32Array(SIDE_PX * SIDE_PX);
    for (let at = 0; at < SIDE_PX; at++) {
      resample(at, row);
      for (let i = 0; i < SIDE_PX; i++) ink[at * SIDE_PX + i] = row[i] / 65535;
    }
    return ink;
  };
}

/** A picture given by a formula of the place, sampled `shiftPx` to the right and below. */
const drawn = (inkAt) => (shiftPx) =>
  Float32Array.from({ length: SIDE_PX * SIDE_PX }, (_, i) =>
    inkAt((i % SIDE_PX) + shiftPx.x, Math.floor(i / SIDE_PX) + shiftPx.y),
  );

/** Ridges and hollows of many sizes under a slanting light, with three hard-edged shapes on them: a stand-in for a photograph. */
function textureAt(x, y) {
  let ink = 0.45 + 0.2 * Math.sin(x / 90 + Math.sin(y / 60)) * Math.cos(y / 75);
  for (let i = 0, size = 31; i < 4; i++, size /= 1.9) {
    const turn = 0.9 * i + 0.4;
    const along = (x * Math.cos(turn) + y * Math.sin(turn)) / size;
    const across = (y * Math.cos(turn) - x * Math.sin(turn)) / size;
    ink += 0.07 * Math.sin(along + 1.7 * Math.sin(0.8 * across + i));
  }
  if (Math.hypot(x - 150, y - 160) < 70) ink = 0.92 - 0.5 * ink;
  if (Math.abs(x - 350) + Math.abs(y - 180) < 80) ink *= 0.3;
  if (x > 220 && x < 300 && y > 330 && y < 470) ink = 0.6 + 0.4 * ink;
  return Math.min(1, Math.max(0, ink));
}

/** What is drawn: `isTone` tells pictures of tone from line art; each takes the shift of a screen and gives ink 0 … 1. */
export const benchSquares = async () => [
  { name: 'scene', isTone: true, at: await openScene() },
  { name: 'texture', isTone: true, at: drawn(textureAt) },
  { name: 'ramp', isTone: true, at: drawn((x) => Math.min(1, Math.max(0, (x + 0.5) / SIDE_PX))) },
  { name: 'lettering', isTone: false, at: (shiftPx) => letteringSheet(SIDE_PX, DPI, shiftPx) },
];
