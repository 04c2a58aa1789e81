import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { corpus } from '../run/pictures.ts';
import { cli, freshPlace } from './run-cli.ts';

const place = freshPlace();
const hook = join(import.meta.dirname, 'what-was-loaded.cjs');

/** Whether a run loaded sharp, as JavaScript or as the machine code of libvips. */
async function loadsSharp(args: readonly string[]): Promise<boolean> {
  const list = join(place.path, 'loaded');
  const run = await cli(place, args, { env: { NODE_OPTIONS: `--require=${hook}`, LOADED_LIST: list } });
  expect(run.code, run.err).toBe(0);
  const loaded = readFileSync(list, 'utf8');
  expect(loaded).toContain('what-was-loaded');
  return /node_modules\/(sharp|@img)\/|libvips/.test(loaded);
}

test('help, lists and schemas do not wait for the picture library', async () => {
  const picture = corpus('good/gen-wedge21.png');
  // were the hook blind, this would show
  expect(await loadsSharp(['prepare', picture, '--process', 'relief', '--dry-run', '--quiet'])).toBe(true);
  for (const args of [
    ['--help'],
    ['prepare', '--help'],
    ['--version'],
    ['list', 'formats'],
    ['schema', 'report'],
  ])
    expect(await loadsSharp(args), args.join(' ')).toBe(false);
});

describe('help', () => {
  test.each(['prepare', 'list', 'schema'])(
    'of %s goes to standard output, in 80 columns, with two examples',
    async (name) => {
      const run = await cli(place, [name, '--help']);
      expect([run.code, run.err]).toEqual([0, '']);
      for (const line of run.out.split('\n')) expect(line.length).toBeLessThanOrEqual(80);
      expect(run.out.split('Examples:\n')[1]?.match(/^ {2}etchwright /gm)).toHaveLength(2);
      for (const option of ['--json', '--quiet', '--no-color', '--help']) expect(run.out).toContain(option);
    },
  );

  test('shows what each process takes unless told otherwise, and large numbers in words', async () => {
    const { out } = await cli(place, ['prepare', '--help']);
    const words = out.replaceAll(/\s+/g, ' ');
    expect(words).toMatch(/--etch .+? \[relief: light; intaglio: dark\] --facing .+? \[plate\]/);
    expect(words).toMatch(/--cap .+? \[relief: 100; intaglio: 80\]/);
    expect(words).toMatch(/--max-pixels .+? \[400 million\]/);
  });

  test('list and schema without a word name what there is, for scripts too', async () => {
    for (const [name, first] of [
      ['list', 'processes'],
      ['schema', 'job'],
    ] as const) {
      const { code, out, err } = await cli(place, [name]);
      expect([code, err]).toEqual([0, '']);
      const names = out.trim().split('\n');
      expect(names[0]).toBe(first);
      expect(JSON.parse((await cli(place, [name, '--json'])).out)).toEqual(names);
      for (const one of names) expect((await cli(place, [name, one])).code, one).toBe(0);
    }
  });

  test('a command that does not exist suggests the near one', async () => {
    const { code, out, err } = await cli(place, ['lst']);
    expect([code, out, err]).toEqual([2, '', 'etchwright: There is no command lst. Did you mean list?\n']);
  });

  test('no command at all is a usage error that shows the help', async () => {
    const run = await cli(place, []);
    expect([run.code, run.out]).toEqual([2, '']);
    expect(run.err).toContain('Usage: etchwright');
  });
});
