import { fileURLToPath } from 'node:url';
import sharp from 'sharp';
import { letteringSheet } from './lettering.mjs';

export const DPI = 500;
export const SHEET_WIDTH_PX = 512;
const SCENE = { left: 440, top: 330, width: 1024, height: 600 };
const SCENE_ROWS = 300;
const RAMP_ROWS = 48;
const PATCH_ROWS = 56;
const PATCHES = 8;

const scenePath = fileURLToPath(new URL('../sound-tone.png', import.meta.url));

/** The sheet every screen draws, greys 0 … 255 row by row: the ferry, a ramp, flat patches, lettering. */
export async function gallerySheet() {
  const scene = await sharp(scenePath)
    .toColourspace('b-w')
    .extract(SCENE)
    .resize(SHEET_WIDTH_PX, SCENE_ROWS)
    .raw()
    .toBuffer();
  const row = (greyAt) => Array.from({ length: SHEET_WIDTH_PX }, (_, x) => Math.round(255 * greyAt(x)));
  const ramp = row((x) => 1 - x / (SHEET_WIDTH_PX - 1));
  const patches = row((x) => 1 - (Math.floor((x * PATCHES) / SHEET_WIDTH_PX) + 0.5) / PATCHES);
  const lettering = Uint8Array.from(letteringSheet(SHEET_WIDTH_PX, DPI), (ink) =>
    Math.round(255 * (1 - ink)),
  );
  return Uint8Array.from([
    ...scene,
    ...Array.from({ length: RAMP_ROWS }, () => ramp).flat(),
    ...Array.from({ length: PATCH_ROWS }, () => patches).flat(),
    ...lettering,
  ]);
}

/** Places of the sheet worth a close look, squares of `sidePx`. */
export const details = {
  sidePx: 112,
  places: [
    { leftPx: 300, topPx: 120 },
    { leftPx: 300, topPx: 292 },
    { leftPx: 8, topPx: 574 },
  ],
};
