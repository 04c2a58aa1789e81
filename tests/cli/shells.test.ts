import { spawnSync } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { commandNames, wantedCommands } from '../../src/cli/commands/index.ts';
import { processes } from '../../src/core/processes/index.ts';
import { screens } from '../../src/core/screens/index.ts';
import { cli, freshPlace } from './run-cli.ts';

const place = freshPlace();
const has = (shell: string): boolean => spawnSync(shell, ['--version']).status === 0;

async function scriptFor(shell: string): Promise<string> {
  const run = await cli(place, ['completion', shell]);
  expect([run.code, run.err]).toEqual([0, '']);
  const path = join(place.path, `script.${shell}`);
  writeFileSync(path, run.out);
  return path;
}

describe.skipIf(!has('bash'))('bash completes', () => {
  test('commands, flags, words behind flags, first words, else files', async () => {
    const script = await scriptFor('bash');
    writeFileSync(join(place.path, 'sea.png'), '');
    const answers = (...words: string[]): string[] => {
      const list = words.map((word) => `'${word}'`).join(' ');
      const code = `source '${script}'; COMP_WORDS=(etchwright ${list}); COMP_CWORD=${words.length}; _etchwright; printf '%s\\n' "\${COMPREPLY[@]}"`;
      const run = spawnSync('bash', ['-c', code], { encoding: 'utf8', cwd: place.path });
      expect(run.stderr).toBe('');
      return run.stdout.split('\n').filter((word) => word !== '');
    };
    expect(answers('')).toEqual(commandNames);
    expect(answers('pre')).toEqual(['prepare']);
    expect(answers('prepare', '--process', '')).toEqual(Object.keys(processes));
    expect(answers('prepare', '--screen', '')).toEqual(Object.keys(screens));
    expect(answers('prepare', '--hei')).toEqual(['--height']);
    expect(answers('notebook', 'co')).toEqual(['compare']);
    expect(answers('prepare', 's')).toContain('sea.png');
  });
});

// both shells are there where .ci/run has been, and few have them elsewhere
test.skipIf(!has('zsh'))('zsh reads its script', async () => {
  const run = spawnSync('zsh', ['-n', await scriptFor('zsh')], { encoding: 'utf8' });
  expect([run.status, run.stderr]).toEqual([0, '']);
});

test.skipIf(!has('fish'))('fish completes words behind a flag', async () => {
  const script = await scriptFor('fish');
  const code = `source ${script}; complete -C 'etchwright prepare --process '`;
  const run = spawnSync('fish', ['--no-config', '-c', code], { encoding: 'utf8' });
  expect([run.status, run.stderr]).toEqual([0, '']);
  expect(run.stdout.split('\n').map((line) => line.split('\t')[0])).toEqual(
    expect.arrayContaining(Object.keys(processes)),
  );
});

test('an unknown shell is told, with those there are', async () => {
  const run = await cli(place, ['completion', 'ksh']);
  expect(run.code).toBe(2);
  expect(run.err).toContain('bash, zsh, fish');
});

describe('help', () => {
  test('on every command and topic keeps to 80 columns and says something', async () => {
    const list = JSON.parse((await cli(place, ['help', '--json'])).out) as { name: string }[];
    const topics = list.map(({ name }) => name);
    expect(topics).toEqual(expect.arrayContaining(['lengths', 'exit-codes', 'safety']));
    for (const topic of [...topics, ...commandNames]) {
      const run = await cli(place, ['help', topic]);
      expect([run.code, run.err], topic).toEqual([0, '']);
      expect(run.out.length, topic).toBeGreaterThan(100);
      for (const line of run.out.split('\n'))
        expect(line.length, `${topic}: ${line}`).toBeLessThanOrEqual(80);
    }
  });

  test('without a word shows what there is; on nothing known, too', async () => {
    const whole = await cli(place, ['help']);
    expect(whole.code).toBe(0);
    for (const line of whole.out.split('\n')) expect(line.length).toBeLessThanOrEqual(80);
    const unknown = await cli(place, ['help', 'ink']);
    expect(unknown.code).toBe(2);
    expect(unknown.err).toContain('There is no help on "ink"');
  });
});

test('a command line that names a command reads that one alone; the version none; anything else all', async () => {
  const read = async (...argv: string[]) => (await wantedCommands(argv)).map(({ name }) => name);
  // every command is called what it is read by
  expect(await read('--help')).toEqual(commandNames);
  for (const name of commandNames)
    expect(await read(name, 'x')).toEqual(['completion', 'help'].includes(name) ? commandNames : [name]);
  expect(await read('--version')).toEqual([]);
  expect(await read('prepar')).toEqual(commandNames);
  expect(await read()).toEqual(commandNames);
});
