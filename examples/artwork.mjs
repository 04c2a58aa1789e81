/**
 * Draws the demo artwork: the invented print "Night Ferry, Ennerby Sound".
 *
 * Everything here is invented (the sound, the harbour town Port Ennerby, the steamer and the lighthouse) and
 * drawn by this script alone: no photograph, no font, no picture from elsewhere. It has its own random numbers,
 * so the same version of sharp writes the same bytes each time.
 *
 *   ferry-key.png    line drawing for a relief block, 2400 × 1600, black on white, 240 × 160 mm
 *   sound-tone.png   tonal picture for an intaglio plate, 1800 × 1200, full range of greys
 *
 * Needs the built program (`npm run build`) for its lettering. Run: node examples/artwork.mjs
 */
import { fileURLToPath } from 'node:url';
import sharp from 'sharp';
import { keySvg } from './artwork/key.mjs';
import { tonePicture } from './artwork/tone.mjs';
import { TONE_SIZE } from './artwork/tone-scene.mjs';

const PPI = 300;
const here = (name) => fileURLToPath(new URL(name, import.meta.url));

/** SVG to one byte a pixel, 255 = white; `blurPx` softens it. */
async function rasterise(svg, blurPx = 0) {
  const picture = sharp(Buffer.from(svg), { unlimited: true }).flatten({ background: '#fff' });
  return (blurPx > 0 ? picture.blur(blurPx) : picture)
    .greyscale()
    .raw()
    .toBuffer({ resolveWithObject: true });
}

async function writeGrey(name, grey, { widthPx, heightPx }) {
  await sharp(grey, { raw: { width: widthPx, height: heightPx, channels: 1 } })
    .toColourspace('b-w')
    .withDensity(PPI)
    .png({ compressionLevel: 9, adaptiveFiltering: true })
    .toFile(here(name));
}

const key = await rasterise(keySvg());
await writeGrey('ferry-key.png', key.data, { widthPx: key.info.width, heightPx: key.info.height });
const tone = await tonePicture(async (svg, blurPx) => (await rasterise(svg, blurPx)).data);
await writeGrey('sound-tone.png', tone, TONE_SIZE);
