import { linkSync, mkdirSync, readFileSync, symlinkSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { beforeEach, describe, expect, test } from 'vitest';
import { corpus, save } from '../run/pictures.ts';
import { cli, freshPlace, namesIn } from './run-cli.ts';

const place = freshPlace();

describe('C29 a file that ends early or contradicts itself', () => {
  const broken = namesIn(dirname(corpus('broken/x'))).filter((name) => name.startsWith('gen-trunc'));
  test.each([...broken, 'gen-bitflip-idat.png'])('%s is refused, and nothing is left', async (name) => {
    const run = await cli(place, [
      'prepare',
      corpus(`broken/${name}`),
      '--process',
      'relief',
      '--width',
      '20',
    ]);
    expect(run.code).toBe(3);
    expect(run.err).toContain(name);
    expect(run.err).toContain('truncated or corrupt');
    expect(run.out).toBe('');
    expect([...namesIn(place.path), ...namesIn(place.tmp)]).toEqual([]);
  });

  test('the corpus has them in every container', () => {
    expect(new Set(broken.map((name) => name.slice(-3)))).toEqual(new Set(['jpg', 'png', 'tif']));
  });
});

describe('C31 output over input', () => {
  const original = readFileSync(corpus('good/gen-wedge21.png'));
  // the input bears the very name that a plate called "a" would get
  const INPUT = 'a.plate.png';
  beforeEach(() => {
    save(place.path, INPUT, original);
    mkdirSync(join(place.path, 'dir'));
    symlinkSync(place.path, join(place.path, 'dir', 'back'));
    symlinkSync(join('..', INPUT), join(place.path, 'dir', 'soft.png'));
    linkSync(join(place.path, INPUT), join(place.path, 'dir', 'hard.png'));
  });
  const refused = async (input: string, ...rest: string[]) => {
    const before = namesIn(place.path);
    const run = await cli(place, ['prepare', input, '--process', 'relief', '--width', '20', ...rest]);
    expect(run.code, `${rest.join(' ')}: ${run.err}`).toBe(4);
    expect(run.err).toMatch(/is an input of this run|is already there/);
    expect(readFileSync(join(place.path, INPUT)).equals(original)).toBe(true);
    expect(namesIn(place.path)).toEqual(before);
    expect(namesIn(join(place.path, 'dir'))).toEqual(['back', 'hard.png', 'soft.png']);
    expect(namesIn(place.tmp)).toEqual([]);
  };

  test.each(['.', './', 'dir/..', 'dir/back'])('a plate in %s', async (out) => {
    await refused(INPUT, '--name', 'a', '--out', out, '--overwrite');
  });

  test('a plate, the input spelt otherwise, with and without --overwrite', async () => {
    await refused(`dir/../${INPUT}`, '--name', 'a', '--overwrite');
    await refused('dir/soft.png', '--name', 'a', '--out', place.path, '--overwrite');
    await refused('dir/hard.png', '--name', 'a', '--overwrite');
    await refused(INPUT, '--name', 'a');
  });

  test('a report, however it is spelt', async () => {
    for (const path of [`./dir/../${INPUT}`, 'dir/soft.png', 'dir/hard.png', join(place.path, INPUT)])
      await refused(INPUT, '--name', 'b', '--report', path, '--overwrite');
    await refused(INPUT, '--name', 'b', '--report', `dir/back/${INPUT}`);
  });

  test('a saved job, however it is spelt', async () => {
    for (const path of [INPUT, 'dir/soft.png', 'dir/hard.png'])
      await refused(INPUT, '--name', 'b', '--save-job', path, '--overwrite');
    await refused(INPUT, '--name', 'b', '--save-job', `dir/back/${INPUT}`);
  });

  test('the job file is an input too', async () => {
    const job = save(place.path, 'a.job.json', Buffer.from('{"process": "relief", "widthMm": 20}'));
    for (const option of ['--report', '--save-job']) {
      const rest = ['--job', job, '--name', 'b', '--overwrite', option, 'dir/../a.job.json'];
      await refused(INPUT, ...rest);
      expect(readFileSync(job, 'utf8')).toBe('{"process": "relief", "widthMm": 20}');
    }
  });

  test('a saved job does not replace the plate just made', async () => {
    const input = ['prepare', corpus('good/gen-flat-128.png'), '--process', 'relief', '--width', '20'];
    const run = await cli(place, [...input, '--name', 'c', '--save-job', 'c.plate.png', '--overwrite']);
    expect(run.code, run.err).toBe(4);
    expect(namesIn(place.path)).toEqual([INPUT, 'dir']);
  });
});

test('a drawing has all the pixels that its plate has: nobody is told to scan it larger', async () => {
  const disc =
    '<svg xmlns="http://www.w3.org/2000/svg" width="30" height="20"><circle cx="15" cy="10" r="8"/></svg>';
  save(place.path, 'disc.svg', Buffer.from(disc));
  const size = ['--process', 'relief', '--width', '30', '--dpi', '200'];
  const plate = await cli(place, ['prepare', 'disc.svg', ...size]);
  const set = await cli(place, [
    'separate',
    'disc.svg',
    '--by',
    'tones',
    '--colours',
    '2',
    ...size,
    '--name',
    'set',
  ]);
  for (const { code, err } of [plate, set]) {
    expect(code, err).toBe(0);
    expect(err).not.toContain('Scan or photograph');
  }
});
