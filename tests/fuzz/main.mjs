/** Many spoiled inputs to every reader: `npm run fuzz`, or with a number of runs and a first seed. */
import { spawnSync } from 'node:child_process';
import { fileURLToPath } from 'node:url';

const [runs = '20000', seed = '1'] = process.argv.slice(2);
const root = fileURLToPath(new URL('../..', import.meta.url));
const vitest = [
  'node_modules/vitest/vitest.mjs',
  'run',
  '--config',
  'tests/vitest.config.ts',
  '--root',
  '.',
  'tests/fuzz',
];
const { status } = spawnSync(process.execPath, vitest, {
  cwd: root,
  stdio: 'inherit',
  env: { ...process.env, FUZZ_RUNS: runs, FUZZ_SEED: seed },
});
process.exitCode = status ?? 1;
