/**
 * Makes the gallery: one sheet through every screen of the program, as the plate is fired and as it should print.
 * Writes examples/gallery.md and examples/gallery/. Run: npm run gallery
 */
import { spawnSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import sharp from 'sharp';
import { createBitmap, setBit } from '../dist/core/bitmap.js';
import { screens } from '../dist/core/screens/index.js';
import { decodeSrgb } from '../dist/core/srgb.js';
import { galleryPage } from './sheet/page.mjs';
import { greyPng } from './sheet/png.mjs';
import { enlarged, plateGreys, printOf, reduced } from './sheet/print.mjs';
import { DPI, details, gallerySheet, SHEET_WIDTH_PX } from './sheet/sheet.mjs';

const here = (name) => fileURLToPath(new URL(name, import.meta.url));
const SPOT_MM = 0.1;
const PRINT_PPI = 200;
const TIMES = 4;

const work = mkdtempSync(join(tmpdir(), 'etchwright-gallery-'));
const sheetPath = join(work, 'sheet.png');

/** Has the program make an intaglio plate of the sheet; what it fires, the way the print reads. */
async function plateOf(kind) {
  const words = ['--process', 'intaglio', '--screen', kind, '--spot', `${SPOT_MM}mm`, '--dpi', String(DPI)];
  const rest = ['--facing', 'print', '--no-hold', '--out', work, '--name', kind, '--quiet'];
  const program = [here('../bin/etchwright.js'), 'prepare', sheetPath, ...words, ...rest];
  const { status } = spawnSync(process.execPath, program, { stdio: ['ignore', 'ignore', 'inherit'] });
  if (status !== 0) throw new Error(`the plate of ${kind} could not be made`);
  const { data, info } = await sharp(join(work, `${kind}.plate.png`))
    .toColourspace('b-w')
    .raw()
    .toBuffer({ resolveWithObject: true });
  const etch = createBitmap(info.width, info.height);
  for (let i = 0; i < data.length; i++)
    if (data[i] < 128) setBit(etch, i % info.width, Math.floor(i / info.width), 1);
  return etch;
}

const writePng = (name, { greys, widthPx }) =>
  writeFileSync(here(`gallery/${name}.png`), greyPng(greys, widthPx));

/** The three pictures of a screen. */
async function show(kind) {
  const etch = await plateOf(kind);
  const greys = plateGreys(etch);
  writePng(`${kind}.plate`, { greys, widthPx: etch.widthPx });
  writePng(`${kind}.detail`, enlarged(greys, etch.widthPx, details, TIMES));
  writePng(`${kind}.print`, printOf(etch, (SPOT_MM * DPI) / 25.4, DPI / PRINT_PPI));
}

try {
  const sheet = await gallerySheet();
  await sharp(sheet, { raw: { width: SHEET_WIDTH_PX, height: sheet.length / SHEET_WIDTH_PX, channels: 1 } })
    .toColourspace('b-w')
    .withDensity(DPI)
    .png()
    .toFile(sheetPath);
  rmSync(here('gallery'), { recursive: true, force: true });
  mkdirSync(here('gallery'));
  const light = Float64Array.from(sheet, (grey) => decodeSrgb(grey / 255));
  writePng('picture', reduced(light, SHEET_WIDTH_PX, DPI / PRINT_PPI));
  for (const { kind, draws } of Object.values(screens)) if (draws === 'bits') await show(kind);
  writeFileSync(here('gallery.md'), galleryPage(Object.values(screens)));
} finally {
  rmSync(work, { recursive: true, force: true });
}
console.log('The gallery is in examples/gallery.md, its pictures in examples/gallery/.');
