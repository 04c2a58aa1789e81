/**
 * Draws a class of fifteen students, all invented, and the list that a tutor keeps of them, into examples/class/: what comes
 * in on the day, faults and all. Two students share a name. One picture lies on its side as phones store it, one has only
 * 480 pixels, one is transparent, one is a grey JPEG with lettering, and one student wants to use vinyl.
 *
 * Needs the built program (`npm run build`) for its lettering. Run: node examples/class.mjs
 */
import { writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import sharp from 'sharp';
import { textStrokes, textWidthMm } from '../dist/core/layout/strokefont.js';
import { SIZE, scene, svgOf, THINGS } from './class/scene.mjs';

const here = (name) => fileURLToPath(new URL(`class/${name}`, import.meta.url));
const QUALITY = 62;

const grey = (pixels, { widthPx, heightPx }) =>
  sharp(pixels, { raw: { width: widthPx, height: heightPx, channels: 1 } });

/** A thing before the harbour of a day, tinted as a phone sees it. */
async function photo(seed, thing, tint = { r: 255, g: 238, b: 214 }) {
  const composed = await grey(scene(seed), SIZE)
    .composite([{ input: Buffer.from(svgOf(THINGS[thing])) }])
    .toColourspace('srgb')
    .png()
    .toBuffer();
  return sharp(composed).tint(tint);
}

const write = async (picture, name) => picture.jpeg({ quality: QUALITY }).toFile(here(name));

/** The name of the harbour in strokes, as an SVG path of 900 × 600. */
function lettering(text, heightPx, yPx) {
  const left = (900 - textWidthMm(text, heightPx)) / 2;
  const d = textStrokes(text, { heightMm: heightPx, xMm: left, yMm: yPx })
    .map((points) => `M${points.map(({ xMm, yMm }) => `${xMm.toFixed(1)} ${yMm.toFixed(1)}`).join('L')}`)
    .join('');
  return `<path d="${d}" fill="none" stroke="#fff" stroke-width="11" stroke-linecap="round" stroke-linejoin="round"/>`;
}

const PLAIN = [
  ['harbour.jpg', 1, 'boat'],
  ['old-light.jpg', 2, 'tower'],
  ['ada-tree.jpg', 3, 'tree'],
  ['ada-gulls.jpg', 4, 'birds'],
  ['net loft.jpg', 5, 'house'],
  ['herring.jpg', 6, 'fish'],
  ['crane.jpg', 7, 'crane'],
  ['evening.jpg', 8, 'boat'],
  ['winter.jpg', 9, 'tree'],
  ['quay.jpg', 10, 'house'],
  ['beacon.jpg', 11, 'tower'],
];
for (const [name, seed, thing] of PLAIN) await write(await photo(seed, thing), name);

// held upright, stored on its side: the tag says that it is to be turned by a quarter
const upright = await (await photo(12, 'tower')).png().toBuffer();
await write(sharp(upright).rotate(270).withMetadata({ orientation: 6 }), 'IMG_2071.jpg');

const small = await (await photo(13, 'fish')).png().toBuffer();
await write(sharp(small).resize(480), 'from-messenger.jpg');

await sharp(Buffer.from(svgOf(THINGS.crane + THINGS.birds)))
  .png({ compressionLevel: 9, palette: true })
  .toFile(here('cut-out.png'));

const sign = svgOf(lettering('PORT', 120, 240) + lettering('ENNERBY', 90, 420));
await grey(scene(15), SIZE)
  .composite([{ input: Buffer.from(sign) }])
  .greyscale()
  .jpeg({ quality: QUALITY })
  .toFile(here('sign.jpg'));

const ROWS = [
  ['Mira Solberg', 'harbour.jpg', '', ''],
  ['Tomás Quell', 'old-light.jpg', '', ''],
  ['Ada P.', 'ada-tree.jpg', '', ''],
  ['Ada P.', 'ada-gulls.jpg', '', ''],
  ['"Brandt, Jonas"', 'net loft.jpg', '', ''],
  ['Yuki Arnesen', 'herring.jpg', '', ''],
  ['Noor el-Sayegh', 'crane.jpg', '', ''],
  ['Pim', 'evening.jpg', '', ''],
  ['Zoë K./B.', 'winter.jpg', '', ''],
  ['Sunniva', 'quay.jpg', 'vinyl', 'asked for vinyl; see what the workshop says'],
  ['Old Ben', 'beacon.jpg', '', ''],
  ['Ruth Amory', 'IMG_2071.jpg', '', ''],
  ['Kaj', 'from-messenger.jpg', '', ''],
  ['Ilse Vantongeren', 'cut-out.png', '', ''],
  ['Dov', 'sign.jpg', '', ''],
];
const lines = [['name', 'picture', 'material', 'comment'], ...ROWS].map((row) => row.join(','));
writeFileSync(here('list.csv'), `${lines.join('\n')}\n`);
const job = {
  comment: 'what all plates of the afternoon have in common',
  process: 'intaglio',
  widthMm: 150,
  heightMm: 100,
  fit: 'cover',
  dpi: 300,
  material: 'acrylic',
};
writeFileSync(here('class.job.json'), `${JSON.stringify(job, null, 2)}\n`);
