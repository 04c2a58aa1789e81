/** What files name: read below their own folder, the working folder and those that were typed; written in the output folder alone. */
import { mkdirSync, readFileSync, realpathSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { beforeEach, describe, expect, test } from 'vitest';
import { corpus, save } from '../run/pictures.ts';
import { cli, freshPlace, namesIn } from './run-cli.ts';

const place = freshPlace();
const picture = readFileSync(corpus('good/gen-wedge21.png'));
const PLAIN = ['--process', 'relief', '--width', '20', '--out', 'out'];
const at = (...path: string[]) => join(place.path, ...path);
/** A picture beside the working folder, where nothing that is typed leads. */
let secret = '';
beforeEach(() => {
  for (const folder of ['lists', 'pictures']) mkdirSync(at(folder));
  save(at('pictures'), 'a.png', picture);
  secret = save(dirname(place.path), 'secret.png', picture);
});
const listed = (...rows: string[]) =>
  writeFileSync(at('lists', 'list.csv'), `picture,name\n${rows.join('\n')}\n`);
const plates = () => namesIn(at('out')).filter((name) => name.endsWith('.plate.png'));

describe('a list', () => {
  test('may name what lies below its folder or the working folder, and nothing else', async () => {
    symlinkSync(secret, at('lists', 'link.png'));
    symlinkSync(dirname(place.path), at('lists', 'up'));
    listed(
      '../pictures/a.png,near',
      '../../secret.png,above',
      `${secret},absolute`,
      'link.png,link',
      'up/secret.png,folder',
      '../../nothing.png,nothing',
    );
    const run = await cli(place, ['batch', 'lists/list.csv', ...PLAIN]);
    expect(run.code, run.err).toBe(6);
    expect(plates()).toEqual(['near.plate.png']);
    expect(run.err.match(/lies outside the working folder/g)).toHaveLength(5);
    // where a link leads to, since its own folder would not do
    const [, told] = /"link\.png" lies outside .* such as --from (.*)\./.exec(run.err)!;
    expect(told).toBe(realpathSync(dirname(secret)));
  });

  test('may name more below a folder that is typed', async () => {
    listed(`${secret},a`, '../../secret.png,b');
    const run = await cli(place, ['batch', 'lists/list.csv', ...PLAIN, '--from', dirname(place.path)]);
    expect(run.code, run.err).toBe(0);
    expect(plates()).toEqual(['a.plate.png', 'b.plate.png']);
  });

  test('a mask likewise, and a job file that names its picture', async () => {
    writeFileSync(
      at('lists', 'list.csv'),
      `picture,outline,outline-mask\n../pictures/a.png,shape,${secret}\n`,
    );
    const masked = await cli(place, ['batch', 'lists/list.csv', ...PLAIN]);
    expect(masked.code).toBe(6);
    expect(masked.err).toContain('the mask');
    writeFileSync(at('lists', 'a.job.json'), JSON.stringify({ picture: '../../secret.png' }));
    const job = await cli(place, ['batch', 'lists/a.job.json', ...PLAIN, '--overwrite']);
    expect(job.code).toBe(6);
    expect(job.err).toContain('lies outside the working folder and that of the job file');
    expect(plates()).toEqual([]);
  });

  test('names of plates never lead out of the output folder', async () => {
    listed(
      '../pictures/a.png,../../up',
      '../pictures/a.png,/abs',
      '../pictures/a.png,..',
      '../pictures/a.png,a\\b',
    );
    const before = namesIn(dirname(place.path));
    const run = await cli(place, ['batch', 'lists/list.csv', ...PLAIN]);
    expect(run.code, run.err).toBe(0);
    expect(plates()).toHaveLength(4);
    expect(namesIn(dirname(place.path))).toEqual(before);
    expect(namesIn(place.path)).toEqual(['lists', 'out', 'pictures']);
  });
});

test('a workshop file: its curves lie below its folder or the working folder', async () => {
  const made = await cli(place, ['workshop', 'init', '--out', 'lists']);
  expect(made.code).toBe(0);
  const path = at('lists', 'etchwright.workshop.json');
  const workshop = JSON.parse(readFileSync(path, 'utf8'));
  const [{ id }] = workshop.materials;
  const curve = {
    id: 'c',
    materialId: id,
    screen: 'cell',
    file: '../../secret.curve.json',
    measuredOn: '2026-01-01',
  };
  writeFileSync(path, JSON.stringify({ ...workshop, curves: [curve] }));
  save(dirname(place.path), 'secret.curve.json', Buffer.from('the secret'));
  const words = ['prepare', 'pictures/a.png', ...PLAIN, '--workshop', path, '--material', id];
  const run = await cli(place, words);
  expect(run.code).toBe(2);
  expect(run.err).toContain('lies outside its folder');
  expect(run.err).not.toContain('the secret');
});

test('a report names files beside it, and no paths', async () => {
  expect((await cli(place, ['prepare', 'pictures/a.png', ...PLAIN])).code).toBe(0);
  const path = at('out', 'a.report.json');
  const report = JSON.parse(readFileSync(path, 'utf8'));
  for (const name of ['../up.plate.png', '/tmp/up.plate.png', '..\\up.plate.png', '..']) {
    writeFileSync(path, JSON.stringify({ ...report, files: [{ ...report.files[0], name }] }));
    const run = await cli(place, [
      'remake',
      'out/a.report.json',
      '--input',
      'pictures/a.png',
      '--out',
      'again/deep',
    ]);
    expect(run.code, run.err).toBe(2);
    expect(run.err).toContain('files.0.name');
  }
  expect(namesIn(place.path)).toEqual(['lists', 'out', 'pictures']);
});

describe('links', () => {
  test('a picture through a link, and links in a circle', async () => {
    symlinkSync('pictures/a.png', at('soft.png'));
    symlinkSync('two.png', at('one.png'));
    symlinkSync('one.png', at('two.png'));
    expect((await cli(place, ['prepare', 'soft.png', ...PLAIN])).code).toBe(0);
    expect(plates()).toEqual(['soft.plate.png']);
    const circle = await cli(place, ['prepare', 'one.png', ...PLAIN]);
    expect([circle.code, circle.err]).toEqual([3, expect.stringMatching(/Reading "one\.png": .*circle/)]);
  });

  test('an output that is a link: what it leads to is replaced with --overwrite alone, and the link stays', async () => {
    mkdirSync(at('kept'));
    writeFileSync(at('kept', 'old.png'), 'old');
    mkdirSync(at('out'));
    symlinkSync('../kept/old.png', at('out', 'a.plate.png'));
    const plain = await cli(place, ['prepare', 'pictures/a.png', ...PLAIN]);
    expect([plain.code, readFileSync(at('kept', 'old.png'), 'utf8')]).toEqual([4, 'old']);
    expect((await cli(place, ['prepare', 'pictures/a.png', ...PLAIN, '--overwrite'])).code).toBe(0);
    expect(readFileSync(at('kept', 'old.png')).subarray(1, 4).toString()).toBe('PNG');
    expect(namesIn(at('out'))).toEqual(['a.plate.png', 'a.report.json']);
    rmSync(at('out', 'a.plate.png'));
    mkdirSync(at('out', 'a.plate.png'));
    const folder = await cli(place, ['prepare', 'pictures/a.png', ...PLAIN, '--overwrite']);
    expect([folder.code, folder.err]).toEqual([4, expect.stringContaining('this is a folder')]);
  });
});

test('a report that tells where its picture lay leads nowhere else', async () => {
  expect((await cli(place, ['prepare', 'pictures/a.png', ...PLAIN])).code).toBe(0);
  const path = at('out', 'a.report.json');
  const report = JSON.parse(readFileSync(path, 'utf8'));
  rmSync(at('pictures'), { recursive: true });
  mkdirSync(at('below'));
  save(at('below'), 'b.png', picture);
  for (const [where, code] of [
    ['../secret.png', 3],
    ['below/b.png', 0],
  ] as const) {
    writeFileSync(path, JSON.stringify({ ...report, input: { ...report.input, listed: where } }));
    const run = await cli(place, ['remake', 'out/a.report.json', '--dry-run']);
    expect(run.code, run.err).toBe(code);
  }
});
