import { once } from 'node:events';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Worker } from 'node:worker_threads';
import sharp from 'sharp';
import { COUNT } from './stages.mjs';

/**
 * What a thread of its own answers. A plate's threads do one screen, one format and so on; many stages one after another in one thread
 * measured what the engine made of all of them together: lines of cells took up to twice as long.
 */
async function asked(workerData) {
  const worker = new Worker(new URL('kernel-thread.mjs', import.meta.url), { workerData });
  const [answer] = await once(worker, 'message');
  await worker.terminate();
  return answer;
}

/** The picture in grey as a file of bare samples. */
async function scratchOf(photo, folder) {
  const { data, info } = await sharp(photo).toColourspace('b-w').raw().toBuffer({ resolveWithObject: true });
  writeFileSync(join(folder, 'scratch'), data);
  return { widthPx: info.width, heightPx: info.height };
}

function tell(stages, costs) {
  console.log(`${''.padEnd(46)}${'Mpx/s'.padStart(9)}${'counts'.padStart(9)}`);
  for (const { title } of stages) {
    const speed = Math.round(1 / (costs.get(title) * 1000)).toLocaleString('en');
    const counts = (costs.get(title) / costs.get(COUNT)).toFixed(1);
    console.log(`  ${title.padEnd(44)}${speed.padStart(9)}${counts.padStart(9)}`);
  }
}

/** How much longer than another a stage takes, and whether it may. */
function tellLimit({ title, than, most }, costs, isJudged) {
  for (const name of [title, than]) if (!costs.has(name)) throw new Error(`there is no stage ${name}`);
  const ratio = costs.get(title) / costs.get(than);
  const isOver = ratio > most;
  const word = !isJudged ? 'not judged' : isOver ? 'OVER' : 'kept';
  console.log(`  ${title} takes ${ratio.toFixed(2)} of ${than}, at most ${most.toFixed(2)}: ${word}`);
  return !(isJudged && isOver);
}

/** Measures each stage on one thread: pixels a second, and the cost of a pixel in passes of counting the bits; true where every limit is kept. */
export async function benchKernels(limits, { pictures: { photo }, rounds, judgeRatios }) {
  console.log('\nkernels: one band of 600 mm at 1,000 dpi; processor time, best of the rounds');
  const folder = mkdtempSync(join(tmpdir(), 'etchwright-bench-kernels-'));
  try {
    const picture = await scratchOf(photo, folder);
    const stages = await asked({ folder, picture });
    const costs = new Map(stages.map(({ title }) => [title, Number.POSITIVE_INFINITY]));
    for (let round = 0; round < rounds; round++)
      for (const { title, px } of stages)
        costs.set(title, Math.min(costs.get(title), (await asked({ folder, picture, title })) / px));
    tell(stages, costs);
    return limits.map((limit) => tellLimit(limit, costs, judgeRatios)).every(Boolean);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
