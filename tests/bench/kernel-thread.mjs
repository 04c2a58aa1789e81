/** Measures one stage in a thread of its own and posts its milliseconds, then ends; without a title it posts what stages there are. */
import { openSync, writeSync } from 'node:fs';
import { join } from 'node:path';
import { parentPort, workerData } from 'node:worker_threads';
import { createBitmap } from '../../dist/core/bitmap.js';
import { depthOf, holdLimits } from '../../dist/job/hold-limits.js';
import { resolveJob } from '../../dist/job/layers.js';
import { resolveMaking } from '../../dist/job/making.js';
import { planPlate } from '../../dist/job/plan.js';
import { buildScreen } from '../../dist/run/plate/build-screen.js';
import { BAND_ROWS } from '../../dist/run/plate/setup.js';
import { stagesOf } from './stages.mjs';

/** Work is done this long before it is measured, so that the engine has compiled it. */
const WARM_MS = 250;

/** A sample lasts at least this long: what is quicker is done several times. */
const LEAST_MS = 30;

const SAMPLES = 3;

/** Processor time of this process so far: other threads wait meanwhile. */
const cpuMs = () => {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1000;
};

function sampleMs(run, times) {
  const from = cpuMs();
  for (let i = 0; i < times; i++) run();
  return (cpuMs() - from) / times;
}

/** The best of some samples. */
function bestMs(run) {
  const from = cpuMs();
  let runs = 0;
  do {
    run();
    runs++;
  } while (runs < 2 || cpuMs() - from < WARM_MS);
  const times = Math.max(1, Math.ceil(LEAST_MS / Math.max(0.01, sampleMs(run, 1))));
  return Math.min(...Array.from({ length: SAMPLES }, () => sampleMs(run, times)));
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

const { folder, picture, title } = workerData;
const scratch = { ...picture, fd: openSync(join(folder, 'scratch')), bytesPerSample: 1, offsetBytes: 0 };
const write = (name, pieces) => {
  const fd = openSync(join(folder, name), 'w+');
  for (const piece of pieces) writeSync(fd, piece);
  return fd;
};
const reduced = planOf({ process: 'intaglio', widthMm: 300, dpi: 500, screen: 'errordiffusion' }, picture);
const stages = stagesOf(bandSetup(scratch), reduced.plan.layout, write);
const wanted = stages.find((stage) => stage.title === title);
parentPort.postMessage(
  wanted === undefined ? stages.map(({ title, px }) => ({ title, px })) : bestMs(await wanted.open()),
);
