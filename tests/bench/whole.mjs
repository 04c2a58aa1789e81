import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { findPillow, pillowRun } from './pillow.mjs';

const bin = fileURLToPath(new URL('../../bin/etchwright.js', import.meta.url));
const tellUsage = new URL('tell-usage.mjs', import.meta.url).href;

/** A run of ours that tells what it took. */
export const ourCommand = (words) => [process.execPath, '--import', tellUsage, bin, ...words, '--quiet'];

/** Our whole run: picture to plate, report and reading back. */
export const ourRun = (words, picture, folder, { widthMm, heightMm, dpi }) =>
  ourCommand([
    ...['prepare', picture, '--process', 'intaglio', ...words],
    // Pillow stretches the picture to the plate, so we do
    ...['--width', `${widthMm}mm`, '--height', `${heightMm}mm`, '--dpi', String(dpi), '--fit', 'fill'],
    ...['--out', folder],
  ]);

/** A command that did not end well has not done what was to be measured. */
class FailedRun extends Error {}

/** Ends the bench with 1 where a run failed, and says which; other errors are faults of the bench. */
export function tellFailedRun(error) {
  if (!(error instanceof FailedRun)) throw error;
  console.error(error.message);
  process.exit(1);
}

/** Runs a command in a new empty folder; what it took, by the clock and by its own last line. Throws where the command fails. */
export function measured(commandIn) {
  const folder = mkdtempSync(join(tmpdir(), 'etchwright-bench-run-'));
  try {
    const [command, ...args] = commandIn(folder);
    const from = performance.now();
    const { status, signal, stdout, stderr, error } = spawnSync(command, args, { encoding: 'utf8' });
    const wallS = (performance.now() - from) / 1000;
    if (status !== 0)
      throw new FailedRun(
        `Nothing was measured, since a run ended with ${error?.message ?? signal ?? status}:\n${command} ${args.join(' ')}\n${stdout ?? ''}${stderr ?? ''}`,
      );
    const { userS, systemS, peakKiB } = JSON.parse(stderr.trimEnd().split('\n').at(-1));
    return { wallS, userS, systemS, peakMB: (peakKiB * 1024) / 1e6 };
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

export const median = (values) => {
  const sorted = values.toSorted((a, b) => a - b);
  const middle = sorted.length >> 1;
  return sorted.length % 2 === 1 ? sorted[middle] : (sorted[middle - 1] + sorted[middle]) / 2;
};

const seconds = (value) => value.toFixed(2).padStart(9);
const line = (title, rest) => console.log(`  ${title.padEnd(24)}${rest}`);

/** One line of figures for a side; its peak is the highest of all rounds. */
function tellSide(title, runs, mostMB) {
  const walls = runs.map(({ wallS }) => wallS);
  const peakMB = Math.max(...runs.map((run) => run.peakMB));
  const isOver = mostMB !== undefined && peakMB > mostMB;
  const limit = mostMB === undefined ? '' : `  ${isOver ? 'OVER' : 'of'} ${mostMB.toFixed(0)}`;
  const figures = [
    Math.min(...walls),
    median(walls),
    median(runs.map(({ userS }) => userS)),
    median(runs.map(({ systemS }) => systemS)),
  ];
  line(title, `${figures.map(seconds).join('')}${peakMB.toFixed(0).padStart(8)}${limit}`);
  return !isOver;
}

/** The median of our time to Pillow's, round by round, so that what slows both sides cancels out. */
function tellRatio(title, runs, pillowRuns, { aim, most }, isJudged) {
  const ratio = median(runs.map(({ wallS }, round) => wallS / pillowRuns[round].wallS));
  const isOver = ratio > most;
  const aimed = aim === null ? '' : `aim ${aim.toFixed(2)}, `;
  const word = !isJudged ? 'not judged' : isOver ? 'OVER' : 'kept';
  line(`${title} : Pillow`, `${''.padEnd(9)}${seconds(ratio)}  ${aimed}at most ${most.toFixed(2)}: ${word}`);
  return !(isJudged && isOver);
}

function benchContest({ name, picture, plate, ours, withPillow }, pillow, { pictures, rounds, judgeRatios }) {
  const { widthMm, heightMm, dpi, megapixels } = plate;
  console.log(`\n${name}: 24 Mpx JPEG → ${widthMm} × ${heightMm} mm at ${dpi} dpi (${megapixels} Mpx)`);
  if (picture === 'progressive') console.log('  progressive, orientation 6');
  line('', ' wall min   median     user   system peak MB');
  const sides = ours.map(
    ({ words }) =>
      (folder) =>
        ourRun(words, pictures[picture], folder, plate),
  );
  const isPaired = withPillow && pillow !== null;
  if (isPaired) sides.push((folder) => pillowRun(pillow, pictures[picture], join(folder, 'a.png'), plate));
  const runs = sides.map(() => []);
  for (let round = 0; round < rounds; round++)
    for (const [side, commandIn] of sides.entries()) runs[side].push(measured(commandIn));

  const kept = ours.map(({ title, mostMB }, side) => tellSide(title, runs[side], mostMB));
  if (!isPaired) return kept.every(Boolean);
  const theirs = runs.at(-1);
  tellSide('Pillow', theirs);
  for (const [side, { title, ratio }] of ours.entries())
    kept.push(tellRatio(title, runs[side], theirs, ratio, judgeRatios));
  return kept.every(Boolean);
}

/** Measures whole runs beside Pillow's, all sides in turn in every round; true where every limit is kept. */
export function benchWhole(contests, setting) {
  const pillow = findPillow();
  console.log(
    pillow === null
      ? 'No python3 on the search path has Pillow, so there are no ratios. Debian: python3-pil.'
      : `Pillow ${pillow.version} (${pillow.python}); rounds: ${setting.rounds}; seconds; MB = a million bytes`,
  );
  return contests.map((contest) => benchContest(contest, pillow, setting)).every(Boolean);
}
