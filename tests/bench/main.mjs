/**
 * How fast we are and how much memory we take: whole runs beside Pillow, then each stage beside one count of the bits.
 * Run: npm run bench, or npm run bench -- --help
 */
import { availableParallelism, cpus, loadavg } from 'node:os';
import { parseArgs } from 'node:util';
import { benchKernels } from './kernels.mjs';
import { benchLists, benchSets } from './many.mjs';
import { benchPictures } from './pictures.mjs';
import { contests, kernels, lists, sets } from './rows.mjs';
import { benchScale } from './scale.mjs';
import { benchWhole, tellFailedRun } from './whole.mjs';

const usual = [...contests.map(({ name }) => name), 'kernels'];
// these take about as long as all others together, so they are done when asked for
const parts = [...usual, 'batch', 'sets', 'scale'];
const HELP = `npm run bench -- [options]

  --only <list>   parts, joined by commas: ${parts.join(', ')} [all but batch, sets and scale]
  --rounds <n>    rounds, all sides of a part one after the other in each [3]
  --anyway        measure on a busy machine too; then no ratio is judged`;

const wrongWords = (what) => {
  console.error(`${what}\n\n${HELP}`);
  process.exit(2);
};

function wordsOf(argv) {
  const options = {
    only: { type: 'string', default: usual.join(',') },
    rounds: { type: 'string', default: '3' },
    anyway: { type: 'boolean', default: false },
    help: { type: 'boolean', default: false },
  };
  try {
    return parseArgs({ args: argv, options }).values;
  } catch (error) {
    return wrongWords(error.message);
  }
}

const { help, anyway, ...words } = wordsOf(process.argv.slice(2));
if (help) {
  console.log(HELP);
  process.exit(0);
}
const only = words.only.split(',');
const stray = only.find((part) => !parts.includes(part));
if (stray !== undefined) wrongWords(`--only ${stray}: there is no such part.`);
const rounds = Number(words.rounds);
if (!Number.isInteger(rounds) || rounds < 1)
  wrongWords(`--rounds ${words.rounds} is not a whole number from 1.`);

const cores = availableParallelism();
const [load] = loadavg();
const isBusy = load > cores;
if (isBusy && !anyway) {
  console.error(
    `The load average is ${load.toFixed(1)} on ${cores} cores: what is measured now says little.`,
  );
  console.error('Wait until the machine is quiet, or say --anyway.');
  process.exit(2);
}
console.log(
  `Node ${process.version}, ${cores} cores (${cpus()[0]?.model.trim() || 'unnamed'}), load ${load.toFixed(1)}`,
);
if (isBusy) console.log('The machine is busy: ratios are not judged.');

const pictures = benchPictures();
const chosen = contests.filter(({ name }) => only.includes(name));
const setting = { pictures, rounds, judgeRatios: !isBusy };
try {
  const kept = [
    chosen.length === 0 || benchWhole(chosen, setting),
    !only.includes('batch') || benchLists(lists, setting),
    !only.includes('sets') || benchSets(sets, setting),
  ];
  if (only.includes('kernels')) kept.push(await benchKernels(kernels, setting));
  if (only.includes('scale')) kept.push(benchScale(pictures.photo, rounds));
  if (kept.includes(false)) process.exitCode = 1;
} catch (error) {
  tellFailedRun(error);
}
