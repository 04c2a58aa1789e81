/** How long reading a scan takes, in times of decoding it: first in a fresh process, then warm. Processor time, one thread. */

import sharp from 'sharp';
import { readProof } from '../../dist/core/calibration/read-proof.js';
import { greyScan } from '../../dist/core/calibration/scan.js';
import { arrangeTestPlate } from '../../dist/core/testplate/arrange.js';
import { simulatedScan } from '../../examples/simulated-scan.mjs';

const ROUNDS = 7;

const layout = arrangeTestPlate({
  process: 'intaglio',
  widthMm: 140,
  heightMm: 90,
  dpi: 500,
  spotMm: null,
  beam: null,
  screen: { kind: 'cell', params: {} },
  capShare: 0.8,
  passes: [],
});
sharp.concurrency(1);
sharp.cache(false);
// 3,543 × 2,362 px of paper, 150 × 100 mm, and a plate in it
const { codes, widthPx, heightPx } = simulatedScan(layout, {
  ppi: 600,
  marginMm: 9,
  angleDeg: 1,
  unevenDensity: 0.2,
});
const raw = { width: widthPx, height: heightPx, channels: 1 };
const files = {
  png: await sharp(codes, { raw }).toColourspace('b-w').png().toBuffer(),
  tiff: await sharp(codes, { raw }).toColourspace('b-w').tiff({ compression: 'lzw' }).toBuffer(),
  jpeg: await sharp(codes, { raw }).toColourspace('b-w').jpeg({ quality: 90 }).toBuffer(),
};

const since = (before) => {
  const { user, system } = process.cpuUsage(before);
  return (user + system) / 1000;
};

console.log(`${widthPx} × ${heightPx} px; processor time in ms`);
for (let round = 0; round < ROUNDS; round++) {
  const decoded = {};
  for (const [name, file] of Object.entries(files)) {
    const before = process.cpuUsage();
    await sharp(file).toColourspace('b-w').raw().toBuffer();
    decoded[name] = since(before);
  }
  const before = process.cpuUsage();
  readProof(greyScan(codes, widthPx, heightPx), layout);
  const read = since(before);
  const times = Object.entries(decoded).map(
    ([name, ms]) => `${name} ${ms.toFixed(0)} (× ${(read / ms).toFixed(1)})`,
  );
  console.log(`${round === 0 ? 'fresh' : 'warm '}  read ${read.toFixed(0)}  decode ${times.join(', ')}`);
}
