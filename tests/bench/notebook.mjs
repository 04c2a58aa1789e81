// How long a notebook takes to read, in times of reading its lines, and how much memory: wants a build.
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { performance } from 'node:perf_hooks';
import { linesOf } from '../../dist/io/lines.js';
import { pagesCalled, pagesOf } from '../../dist/run/records/notebook.js';

const program = join(import.meta.dirname, '../../bin/etchwright.js');
const folder = mkdtempSync(join(tmpdir(), 'notebook-bench-'));
const ROUNDS = 5;
const LIMIT_TIMES = 10;
const LIMIT_MB = 200;

/** A notebook of so many entries, made from one that the program wrote. */
function notebookOf(count) {
  const place = mkdtempSync(join(folder, 'one-'));
  const picture = join(import.meta.dirname, '../../examples/ferry-key.png');
  const run = (...args) => {
    const { status, stderr } = spawnSync(process.execPath, [program, ...args], {
      cwd: place,
      encoding: 'utf8',
    });
    if (status !== 0) throw new Error(stderr);
  };
  run('notebook', 'init');
  run('prepare', picture, '--process', 'relief', '--width', '60mm', '--quiet');
  const [entry] = JSON.parse(
    spawnSync(process.execPath, [program, 'notebook', 'show', '1', '--json'], {
      cwd: place,
      encoding: 'utf8',
    }).stdout,
  );
  const path = join(folder, `${count}.jsonl`);
  const lines = [];
  for (let i = 0; i < count; i++) {
    const id = `e${i.toString(16).padStart(11, '0')}`;
    lines.push(JSON.stringify({ ...entry.entry, id, name: `plate-${i}` }));
  }
  writeFileSync(path, `${lines.join('\n')}\n`);
  return { path, bytes: lines.reduce((sum, line) => sum + line.length + 1, 0) };
}

async function timed(work) {
  const start = performance.now();
  await work();
  return performance.now() - start;
}

const works = {
  lines: async (path) => {
    let count = 0;
    for await (const lines of linesOf(path, 'notebook')) count += lines.length;
    return count;
  },
  list: async (path) => {
    let count = 0;
    for await (const page of pagesOf(path, () => undefined)) count += page.number > 0 ? 1 : 0;
    return count;
  },
  compare: (path) => pagesCalled(path, ['1', '10000']),
};

try {
  const { path, bytes } = notebookOf(10_000);
  const best = {
    lines: Number.POSITIVE_INFINITY,
    list: Number.POSITIVE_INFINITY,
    compare: Number.POSITIVE_INFINITY,
  };
  for (let round = 0; round < ROUNDS; round++)
    for (const [name, work] of Object.entries(works))
      best[name] = Math.min(best[name], await timed(() => work(path)));
  let broken = 0;
  console.log(`10,000 entries, ${(bytes / 1e6).toFixed(1)} MB: lines ${best.lines.toFixed(0)} ms`);
  for (const name of ['list', 'compare']) {
    const times = best[name] / best.lines;
    if (times > LIMIT_TIMES) broken++;
    console.log(`  ${name}: ${times.toFixed(1)} × that (limit ${LIMIT_TIMES})`);
  }
  const long = notebookOf(100_000);
  for (const action of [
    ['list'],
    ['list', '--all'],
    ['list', '--all', '--json'],
    ['find', 'plate-99999'],
    ['export'],
  ]) {
    const { stderr } = spawnSync(
      process.execPath,
      [
        '--import',
        join(import.meta.dirname, 'tell-usage.mjs'),
        program,
        'notebook',
        ...action,
        '--notebook',
        long.path,
      ],
      { encoding: 'utf8', maxBuffer: 1 << 28 },
    );
    const { peakKiB } = JSON.parse(stderr.trim().split('\n').at(-1));
    const megabytes = (peakKiB * 1024) / 1e6;
    if (megabytes > LIMIT_MB) broken++;
    console.log(`  100,000 entries, ${action.join(' ')}: ${megabytes.toFixed(0)} MB (limit ${LIMIT_MB})`);
  }
  process.exitCode = broken > 0 ? 1 : 0;
} finally {
  rmSync(folder, { recursive: true, force: true });
}
