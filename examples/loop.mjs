/**
 * The loop of calibration, command by command: a test plate is made, printed (here by a simulated press), scanned and
 * read; a picture is prepared with the curve, printed on the same press, and its steps are read back.
 * Run: npm run build && node examples/loop.mjs [folder] [intaglio|relief]
 */
import { spawnSync } from 'node:child_process';
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { greyPng, pressed } from './simulated-press.mjs';

const top = fileURLToPath(new URL('..', import.meta.url));

/** What the shop has: marks of one firing that nobody has measured, and a screen that holds on its sheets. */
const PRESSES = {
  intaglio: { spotMm: 0.13, settings: ['--screen', 'cell', '--cell', '0.17mm'], dpi: 300, cap: 0.8 },
  relief: { spotMm: 0.13, settings: ['--screen', 'cell', '--cell', '0.34mm'], dpi: 300, cap: 1 },
};

/** Steps of the picture, as codes of its pixels, and the side of each on the plate. */
const CODES = [255, 230, 204, 179, 153, 128, 102, 77, 51, 26, 0];
const STEP_MM = 9;
const BORDER_MM = 10;

/** Runs the program, and says so unless quiet. */
function etchwright(isQuiet, ...words) {
  if (!isQuiet) console.log(`\n$ etchwright ${words.join(' ')}`);
  const { status } = spawnSync(
    process.execPath,
    [join(top, 'bin/etchwright.js'), ...words, ...(isQuiet ? ['--quiet'] : [])],
    {
      stdio: ['ignore', 'ignore', 'inherit'],
    },
  );
  if (status !== 0) throw new Error(`etchwright ${words[0]} ended with ${status}`);
}

const decoded = (code) => (code <= 0.04045 ? code / 12.92 : ((code + 0.055) / 1.055) ** 2.4);

/** CIE 1976 L* of a reflectance relative to paper (CIE 15). */
const lightness = (light) => (light > 216 / 24389 ? 116 * Math.cbrt(light) - 16 : (24389 / 27) * light);

/** Mean light of a box of the plate (mm) in a scan whose homography is known. */
function lightIn({ codes, widthPx, toScan: h }, xMm, yMm, wMm, hMm) {
  let [sum, count] = [0, 0];
  for (let y = yMm; y < yMm + hMm; y += 0.04)
    for (let x = xMm; x < xMm + wMm; x += 0.04) {
      const z = h[6] * x + h[7] * y + h[8];
      const [u, v] = [(h[0] * x + h[1] * y + h[2]) / z, (h[3] * x + h[4] * y + h[5]) / z];
      sum += decoded(codes[Math.floor(v) * widthPx + Math.floor(u)] / 255);
      count++;
    }
  return sum / count;
}

function scan(plateFile, layout, scanFile, spotMm, angleDeg) {
  const seen = pressed(readFileSync(plateFile), layout, { spotMm, angleDeg, dust: 0 });
  writeFileSync(scanFile, greyPng(seen.codes, seen.widthPx, seen.heightPx));
  return seen;
}

/** Runs the loop in a folder; the steps with the lightness they were to have and the one they have. */
export function loop(folder, kind, isQuiet = false) {
  const run = (...words) => etchwright(isQuiet, ...words);
  const { spotMm, settings, dpi, cap } = PRESSES[kind];
  mkdirSync(folder, { recursive: true });
  const at = (name) => join(folder, name);

  const plate = ['--process', kind, ...settings, '--dpi', String(dpi)];
  run('testplate', ...plate, '--cap', '80', '--out', folder, '--overwrite');
  const layout = JSON.parse(readFileSync(at('testplate.testplate.json'), 'utf8'));
  const proof = scan(at('testplate.plate.png'), layout, at('proof.png'), spotMm, 4);
  run(
    'calibrate',
    at('proof.png'),
    '--layout',
    at('testplate.testplate.json'),
    '--name',
    'shop',
    '--out',
    folder,
    '--overwrite',
  );

  const side = Math.round((STEP_MM * 300) / 25.4);
  const [width, height] = [side * CODES.length, side];
  const row = Uint8Array.from({ length: width }, (_, x) => CODES[Math.floor(x / side)]);
  writeFileSync(
    at('steps.png'),
    greyPng(
      Uint8Array.from({ length: width * height }, (_, i) => row[i % width]),
      width,
      height,
    ),
  );
  const size = { widthMm: STEP_MM * CODES.length + 2 * BORDER_MM, heightMm: STEP_MM + 2 * BORDER_MM };
  run(
    ...['prepare', at('steps.png'), ...plate, '--curve', at('shop.curve.json'), '--control-strip'],
    ...['--width', `${size.widthMm}mm`, '--height', `${size.heightMm}mm`, '--border', `${BORDER_MM}mm`],
    ...['--fit', 'fill', '--out', folder, '--overwrite'],
  );
  const print = scan(at('steps.plate.png'), { ...size, dpi, process: kind }, at('print.png'), spotMm, -3);
  run(
    'calibrate',
    at('print.png'),
    '--layout',
    at('steps.strip.json'),
    '--control-strip',
    at('shop.curve.json'),
  );

  // paper, white and solid of the press: from the proof itself, all patches of its wedge that are bare or solid
  const wedge = (share) => layout.patches.find((patch) => patch.zone === 'wedge' && patch.share === share);
  const inPatch = ({ xMm, yMm, widthMm, heightMm }) =>
    lightIn(proof, xMm + 0.2 * widthMm, yMm + 0.2 * heightMm, 0.6 * widthMm, 0.6 * heightMm);
  const paper = lightIn(proof, -4, 10, 2, 40);
  const [white, solid] = [inPatch(wedge(0)), inPatch(wedge(1))].map((light) => lightness(light / paper));
  const printPaper = lightIn(print, -4, 5, 2, size.heightMm - 10);
  return CODES.map((code, i) => {
    const tone = cap * (1 - code / 255);
    const x = BORDER_MM + (i + 0.15) * STEP_MM;
    const light = lightIn(print, x, BORDER_MM + 0.15 * STEP_MM, 0.7 * STEP_MM, 0.7 * STEP_MM);
    return { code, wanted: white - tone * (white - solid), is: lightness(light / printPaper) };
  });
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const [folder = join(top, 'examples/out/loop'), kind = 'intaglio'] = process.argv.slice(2);
  const steps = loop(folder, kind);
  console.log('\ncode  L* wanted  L* printed');
  for (const { code, wanted, is } of steps)
    console.log(
      `${String(code).padStart(4)}  ${wanted.toFixed(1).padStart(9)}  ${is.toFixed(1).padStart(10)}`,
    );
}
