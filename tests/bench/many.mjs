import { readdirSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { measured, median, ourCommand } from './whole.mjs';

const pictures = fileURLToPath(new URL('../../examples/class/', import.meta.url));

/** A list of so many plates of the class's pictures, which lie elsewhere: a run of it says so by `--from`. */
function listOf(plates) {
  const names = readdirSync(pictures).filter((name) => name.endsWith('.jpg'));
  const rows = Array.from({ length: plates }, (_, i) => `"${join(pictures, names[i % names.length])}",plate`);
  const path = join(tmpdir(), `etchwright-bench-list-${plates}.csv`);
  writeFileSync(path, ['picture,name', ...rows].join('\n'));
  return path;
}

const batchRun = (list, words, workers) => (folder) =>
  ourCommand([
    ...['batch', list, '--from', pictures, ...words],
    ...['--workers', String(workers), '--out', folder],
  ]);

const cpuOf = ({ userS, systemS }) => userS + systemS;
const fixed = (value, digits = 2) => value.toFixed(digits).padStart(9);

function tell(title, runs, each) {
  const peakMB = Math.max(...runs.map((run) => run.peakMB));
  const wallS = median(runs.map((run) => run.wallS));
  const cpuS = median(runs.map(cpuOf));
  console.log(
    `  ${title.padEnd(24)}${fixed(wallS)}${fixed(cpuS)}${fixed(cpuS / each, 3)}${fixed(peakMB, 0)}`,
  );
}

const HEAD = `  ${''.padEnd(24)}     wall      cpu  cpu each  peak MB`;

/** A limit is kept, broken, or on a busy machine not judged. */
function verdict(isKept, isJudged) {
  console.log(`    ${!isJudged ? 'not judged' : isKept ? 'kept' : 'OVER'}`);
  return isKept || !isJudged;
}

/**
 * Lists on one lane and on two, in turn: how many times as fast two are by the clock, and the most that they could be, which a busy
 * machine tells as well: the wall of one lane against half of the processor time that two take in all. True where limits are kept.
 */
export function benchLists(lists, { rounds, judgeRatios }) {
  return lists
    .map(({ title, plates, words, least }) => {
      console.log(`\nbatch: ${plates} plates, ${title}\n${HEAD}`);
      const list = listOf(plates);
      const [one, two] = [[], []];
      for (let round = 0; round < rounds; round++) {
        one.push(measured(batchRun(list, words, 1)));
        two.push(measured(batchRun(list, words, 2)));
      }
      tell('one lane', one, plates);
      tell('two lanes', two, plates);
      const speedUp = median(one.map(({ wallS }, round) => wallS / two[round].wallS));
      const extra = median(two.map((run, round) => cpuOf(run) / cpuOf(one[round])));
      const idle = median(one.map((run) => Math.max(0, 1 - cpuOf(run) / run.wallS)));
      console.log(
        `  two lanes ${fixed(speedUp).trim()} times as fast (at least ${least} wanted); processor time ${fixed(extra).trim()} times that of one lane, which waits ${(100 * idle).toFixed(0)} % of its time`,
      );
      return verdict(speedUp >= least, judgeRatios);
    })
    .every(Boolean);
}

/** Sets of plates beside one plate of the same size, in turn. True where limits are kept. */
export function benchSets(sets, { pictures: { photo }, rounds, judgeRatios }) {
  return sets
    .map(({ title, size, inks, methods, most }) => {
      const plates = inks.split(',').length;
      console.log(`\nsets: ${plates} plates, ${title}\n${HEAD}`);
      const sides = [
        ['prepare', photo],
        ...methods.map((method) => ['separate', photo, '--by', method, '--inks', inks]),
      ];
      const runs = sides.map(() => []);
      for (let round = 0; round < rounds; round++)
        for (const [side, words] of sides.entries())
          runs[side].push(measured((folder) => ourCommand([...words, ...size, '--out', folder])));
      tell('one plate', runs[0], 1);
      const kept = methods.map((method, i) => {
        const own = runs[i + 1];
        tell(method, own, plates);
        const ratio = median(own.map(({ wallS }, round) => wallS / runs[0][round].wallS));
        const cpu = median(own.map((run, round) => cpuOf(run) / cpuOf(runs[0][round])));
        console.log(
          `  ${method}: ${fixed(ratio).trim()} times as long as one plate (at most ${most} wanted); processor time ${fixed(cpu).trim()} times`,
        );
        return verdict(ratio <= most, judgeRatios);
      });
      return kept.every(Boolean);
    })
    .every(Boolean);
}
