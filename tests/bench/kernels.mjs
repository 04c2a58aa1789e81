import { closeSync, mkdtempSync, openSync, rmSync, writeSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import sharp from 'sharp';
import { createBitmap } from '../../dist/core/bitmap.js';
import { depthOf, holdLimits } from '../../dist/job/hold-limits.js';
import { resolveJob } from '../../dist/job/layers.js';
import { resolveMaking } from '../../dist/job/making.js';
import { planPlate } from '../../dist/job/plan.js';
import { buildScreen } from '../../dist/run/plate/build-screen.js';
import { BAND_ROWS } from '../../dist/run/plate/setup.js';
import { stagesOf } from './stages.mjs';

/** A sample lasts at least this long: what is quicker is done several times. */
const LEAST_MS = 30;

/** Processor time of this process so far, all threads. */
const cpuMs = () => {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1000;
};

function sampleMs(run, times) {
  const from = cpuMs();
  for (let i = 0; i < times; i++) run();
  return (cpuMs() - from) / times;
}

/** Best processor time of each stage; all have run before any is measured, so that shared code has met every kind of caller. */
function bestMs(stages, rounds) {
  for (const { run } of stages) run();
  const times = stages.map(({ run }) => Math.max(1, Math.ceil(LEAST_MS / Math.max(0.01, sampleMs(run, 1)))));
  const best = stages.map(() => Number.POSITIVE_INFINITY);
  for (let round = 0; round < rounds; round++)
    for (const [i, { run }] of stages.entries()) {
      // what the engine compiles anew after the other stages, and still does for the last of them, is not this one's
      run();
      best[i] = Math.min(best[i], sampleMs(run, times[i]));
    }
  return best;
}

function planOf(settings, picture) {
  const { job, problems } = resolveJob([{ origin: 'flag', name: '', values: settings }]);
  if (job === null) throw new Error(problems.map(({ message }) => message).join('\n'));
  const { making } = resolveMaking(job, null);
  return { job, making, plan: planPlate(job, making, { ...picture, ppiX: null, ppiY: null }) };
}

/** One band of a plate 600 mm wide at 1,000 dpi, as the workers are given it. */
function bandSetup(scratch) {
  const dpi = 1000;
  const size = { widthMm: 600, heightMm: (BAND_ROWS * 25.4) / dpi };
  const settings = { process: 'intaglio', ...size, dpi, fit: 'cover', screen: 'errordiffusion' };
  const { job, making, plan } = planOf(settings, scratch);
  const { widthPx, heightPx } = plan.layout;
  return {
    id: 0,
    scratch,
    codes: { depthBits: 8, blackCode: 0, whiteCode: 255 },
    orientation: 1,
    plan,
    bitmap: createBitmap(widthPx, heightPx, true),
    head: { widthPx, heightPx, dpi, fire: 'dark', tiff: 'deflate', packing: 'runs', bandRows: BAND_ROWS },
    formats: ['png'],
    draws: 'bits',
    built: buildScreen(plan.screen),
    spot: { spotMm: 0.1, beam: 'pulse', pitchMm: 25.4 / dpi },
    holdLimits: holdLimits(making, depthOf(job, making)),
  };
}

function tell(stages, best) {
  const costs = stages.map(({ px }, i) => best[i] / px);
  const count = costs[stages.findIndex(({ title }) => title === 'count')];
  console.log(`${''.padEnd(46)}${'Mpx/s'.padStart(9)}${'counts'.padStart(9)}`);
  for (const [i, { title }] of stages.entries()) {
    const speed = Math.round(1 / (costs[i] * 1000)).toLocaleString('en');
    console.log(`  ${title.padEnd(44)}${speed.padStart(9)}${(costs[i] / count).toFixed(1).padStart(9)}`);
  }
}

/** Measures each stage on one thread: pixels a second, and the cost of a pixel in passes of counting the bits. */
export async function benchKernels(photo, rounds) {
  console.log('\nkernels: one band of 600 mm at 1,000 dpi; processor time, best of the rounds');
  const folder = mkdtempSync(join(tmpdir(), 'etchwright-bench-kernels-'));
  const open = [];
  const write = (name, pieces) => {
    const fd = openSync(join(folder, name), 'w+');
    open.push(fd);
    for (const piece of pieces) writeSync(fd, piece);
    return fd;
  };
  try {
    const { data, info } = await sharp(photo)
      .toColourspace('b-w')
      .raw()
      .toBuffer({ resolveWithObject: true });
    const picture = { widthPx: info.width, heightPx: info.height };
    const scratch = { ...picture, fd: write('scratch', [data]), bytesPerSample: 1, offsetBytes: 0 };
    const reduced = planOf(
      { process: 'intaglio', widthMm: 300, dpi: 500, screen: 'errordiffusion' },
      picture,
    );
    const stages = await stagesOf(bandSetup(scratch), reduced.plan.layout, write);
    tell(stages, bestMs(stages, rounds));
  } finally {
    for (const fd of open) closeSync(fd);
    rmSync(folder, { recursive: true, force: true });
  }
}
