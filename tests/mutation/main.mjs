/**
 * Plants each fault in a copy of the sources and runs the tests that should catch it: `npm run mutation`, or with a word
 * for those whose names hold it. Ends with 1 when one is not caught. `--markdown` writes result.md anew.
 */
import { spawnSync } from 'node:child_process';
import { cpSync, mkdtempSync, readFileSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { faults } from './faults.mjs';

const root = fileURLToPath(new URL('../..', import.meta.url));
const COPIED = ['src', 'tests', 'package.json', 'tsconfig.json'];
const LINKED = ['node_modules', 'fixtures', 'examples', 'dist', 'bin', 'README.md', 'DEVELOPERS.md'];

const words = process.argv.slice(2).filter((word) => !word.startsWith('--'));
const writesResult = process.argv.includes('--markdown');
const wanted = faults.filter(({ name }) => words.every((word) => name.includes(word)));

const place = mkdtempSync(join(tmpdir(), 'mutation-'));
function runTests(tests) {
  const { status, stdout, stderr } = spawnSync(
    process.execPath,
    [
      'node_modules/vitest/vitest.mjs',
      'run',
      '--config',
      'tests/vitest.config.ts',
      '--root',
      '.',
      '--bail',
      '1',
      tests,
    ],
    { cwd: place, encoding: 'utf8' },
  );
  return { passed: status === 0, output: stdout + stderr };
}

/** The test that failed first, without colours. Throws where tests did not run at all, which catches nothing. */
function firstFailure(output) {
  // biome-ignore lint/suspicious/noControlCharactersInRegex: colours begin with one
  const plain = output.replaceAll(/\u001b\[[0-9;]*m/g, '');
  const name = /FAIL\s+(.+)/.exec(plain)?.[1]?.trim();
  if (name === undefined) throw new Error(`no test failed, and yet: ${plain.slice(-2000)}`);
  return name;
}

const rows = [];
try {
  for (const name of COPIED) cpSync(join(root, name), join(place, name), { recursive: true });
  for (const name of LINKED) symlinkSync(join(root, name), join(place, name));
  for (const tests of new Set(wanted.map((fault) => fault.tests))) {
    const { passed, output } = runTests(tests);
    if (!passed) throw new Error(`tests/${tests} fail without any fault: ${output.slice(-2000)}`);
  }
  for (const { name, file, from, to, tests } of wanted) {
    const path = join(place, 'src', file);
    const text = readFileSync(path, 'utf8');
    const pieces = text.split(from);
    if (pieces.length !== 2)
      throw new Error(`"${name}": src/${file} holds its text ${pieces.length - 1} times`);
    writeFileSync(path, pieces.join(to));
    const { passed, output } = runTests(tests);
    writeFileSync(path, text);
    const by = passed ? null : firstFailure(output);
    rows.push({ name, file, by });
    process.stdout.write(
      `${by === null ? 'NOT CAUGHT' : 'caught    '}  ${name} (${file})${by === null ? '' : `: ${by}`}\n`,
    );
  }
} finally {
  rmSync(place, { recursive: true, force: true });
}

const missed = rows.filter(({ by }) => by === null);
process.stdout.write(`${rows.length - missed.length} of ${rows.length} faults caught\n`);
if (writesResult)
  writeFileSync(
    new URL('result.md', import.meta.url),
    `# Faults planted, and who caught them\n\nWritten by \`npm run mutation -- --markdown\`: ${rows.length - missed.length} of ${rows.length} caught.\n\n| fault | in | first test that failed |\n|---|---|---|\n${rows
      .map(
        ({ name, file, by }) =>
          `| ${name} | \`${file}\` | ${by === null ? '**none**' : by.replaceAll('|', '\\|')} |`,
      )
      .join('\n')}\n`,
  );
process.exitCode = missed.length > 0 ? 1 : 0;
