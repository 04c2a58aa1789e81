import {
  appendFileSync,
  copyFileSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  renameSync,
  writeFileSync,
} from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { photograph, save } from '../run/pictures.ts';
import { cli, freshPlace } from './run-cli.ts';

const place = freshPlace();
const examples = join(import.meta.dirname, '../../examples');
// biome-ignore lint/suspicious/noExplicitAny: what the program prints is looked at piece by piece
type Json = Record<string, any>;

const at = (name: string): string => join(place.path, name);
const json = (name: string): Json => JSON.parse(readFileSync(at(name), 'utf8'));
const BOOK = 'etchwright.notebook.jsonl';

async function ok(...args: string[]) {
  const run = await cli(place, args);
  expect(run.code, run.err).toBe(0);
  return run;
}

test('every example is made again from its report with the same bits and bytes, whatever its picture is called now', async () => {
  const jobs = readdirSync(examples).filter((file) => file.endsWith('.job.json'));
  expect(jobs.length).toBeGreaterThan(1);
  mkdirSync(at('again'));
  for (const job of jobs) {
    const stem = job.replace('.job.json', '');
    copyFileSync(join(examples, `${stem}.png`), at(`${stem}.png`));
    await ok('prepare', `${stem}.png`, '--job', join(examples, job), '--quiet');
    copyFileSync(at(`${stem}.png`), at(`other-${stem}.png`));
    writeFileSync(at(`${stem}.png`), 'not the picture any more');
    const { out } = await ok('remake', `${stem}.report.json`, '--out', 'again', '--json');
    expect(JSON.parse(out)).toMatchObject({ sameBits: true, sameFiles: true, differences: [] });
    expect(readFileSync(at(`again/${stem}.plate.png`))).toEqual(readFileSync(at(`${stem}.plate.png`)));
  }
});

test('a changed picture, setting and version are each told apart, and nothing is written of other bits', async () => {
  await ok('notebook', 'init');
  save(place.path, 'sea.png', photograph(90, 60));
  save(place.path, 'other.png', photograph(90, 61));
  await ok(
    'prepare',
    'sea.png',
    '--process',
    'relief',
    '--width',
    '30',
    '--height',
    '20',
    '--screen',
    'threshold',
    '--quiet',
  );
  const report = json('sea.report.json');
  const remake = async (...args: string[]) => {
    const run = await cli(place, ['remake', ...args, '--out', 'again', '--json']);
    return { code: run.code, ...(JSON.parse(run.out) as Json) } as Json;
  };
  const what = (run: Json): string[] => run['differences'].map((one: Json) => one['what']);

  const picture = await remake('sea.report.json', '--input', 'other.png');
  expect(picture).toMatchObject({ code: 5, sameBits: false, written: [] });
  expect(what(picture)).toEqual(['picture']);

  writeFileSync(at('set.json'), JSON.stringify({ ...report, job: { ...report['job'], levelPercent: 30 } }));
  const setting = await remake('set.json');
  expect(setting).toMatchObject({ code: 5, sameBits: false, written: [] });
  expect(what(setting)).toEqual(['levelPercent', 'settings']);
  expect(readdirSync(place.path)).not.toContain('again');

  const tool = { ...report['tool'], version: '0.0.9' };
  writeFileSync(at('old.json'), JSON.stringify({ ...report, tool }));
  const version = await remake('old.json', '--name', 'old');
  expect(version).toMatchObject({ code: 0, sameBits: true });
  expect(what(version)).toEqual(['version']);

  const anyway = await remake('set.json', '--name', 'anyway', '--anyway');
  expect(anyway).toMatchObject({ code: 0, sameBits: false });
  expect(anyway['report'].cautions.map(({ code }: Json) => code)).toContain('other-bits');
  const list = JSON.parse((await ok('notebook', 'list', '--json')).out) as Json[];
  expect(list.map(({ name }) => name)).toEqual(['sea', 'old', 'anyway']);
});

test('an outline that was traced from a mask is made again, with the mask found by its bytes or named', async () => {
  await ok('notebook', 'init');
  save(place.path, 'sea.png', photograph(90, 60));
  const arch =
    '<svg xmlns="http://www.w3.org/2000/svg" width="90" height="60"><path d="M10 50V20H80V50z"/></svg>';
  writeFileSync(at('arch.svg'), arch);
  const outline = ['--outline', 'shape', '--outline-mask', 'arch.svg'];
  await ok('prepare', 'sea.png', '--process', 'relief', '--width', '30', ...outline, '--quiet');
  renameSync(at('arch.svg'), at('other-name.svg'));
  await ok('remake', 'sea.report.json', '--out', 'again');
  expect(readFileSync(at('again/sea.outline.svg'))).toEqual(readFileSync(at('sea.outline.svg')));
  await ok('remake', '1', '--outline-mask', 'other-name.svg', '--out', 'from-entry');
  expect(readFileSync(at('from-entry/sea.outline.svg'))).toEqual(readFileSync(at('sea.outline.svg')));
  writeFileSync(at('other-name.svg'), arch.replace('M10', 'M20'));
  const gone = await cli(place, ['remake', 'sea.report.json', '--out', 'third']);
  expect([gone.code, gone.err]).toEqual([3, expect.stringContaining('--outline-mask')]);
  const other = await ok(
    'remake',
    'sea.report.json',
    '--outline-mask',
    'other-name.svg',
    '--dry-run',
    '--json',
  );
  expect(JSON.parse(other.out).differences.map(({ what }: Json) => what)).toEqual(['outline mask']);
});

test('a plate is made again from its entry, with its curve gone', async () => {
  await ok('notebook', 'init');
  save(place.path, 'sea.png', photograph(90, 60));
  await ok('prepare', 'sea.png', '--process', 'intaglio', '--width', '30', '--quiet', '--note', 'first');
  const { out } = await ok('remake', '1', '--dry-run', '--json');
  expect(JSON.parse(out)).toMatchObject({ record: 'entry 1', sameBits: true, written: [] });
  expect((await cli(place, ['remake', '7', '--dry-run'])).err).toContain('no run is called so');
});

test('runs leave entries; notes are laid to them; comparing tells what changed', async () => {
  const init = await ok('notebook', 'init');
  expect(init.out.trim()).toBe(BOOK);
  expect((await cli(place, ['notebook', 'init'])).code).toBe(4);
  save(place.path, 'sea.png', photograph(90, 60));
  const args = [
    'prepare',
    'sea.png',
    '--process',
    'relief',
    '--width',
    '30',
    '--screen',
    'threshold',
    '--quiet',
  ];
  await ok(...args, '--note', 'a first try');
  await ok(...args, '--dpi', '600', '--name', 'finer');
  await ok(...args, '--dry-run', '--name', 'dry');
  const vinyl = await cli(place, [...args, '--material', 'vinyl', '--name', 'bad']);
  expect(vinyl.code).toBe(5);
  await ok(
    'notebook',
    'note',
    '2',
    'lines',
    'held',
    '--verdict',
    'held',
    '--pull',
    '3',
    '--paper',
    'damp cotton',
  );

  const rows = JSON.parse((await ok('notebook', 'list', '--json')).out) as Json[];
  expect(rows.map(({ number, kind, name, made, verdict }) => [number, kind, name, made, verdict])).toEqual([
    [1, 'plate', 'sea', true, null],
    [2, 'plate', 'finer', true, 'held'],
    [3, 'plate', 'bad', false, null],
  ]);
  for (const { etched, timeS } of rows) expect([typeof etched, typeof timeS]).toEqual(['number', 'number']);
  const compared = JSON.parse((await ok('notebook', 'compare', '1', '2', '--json')).out);
  expect(compared.changed).toEqual([{ what: 'dpi', from: 500, to: 600 }]);
  expect(compared.sameBits).toBe(false);
  const found = JSON.parse(
    (await ok('notebook', 'find', 'cotton,', '600 dpi', '--verdict', 'held', '--json')).out,
  );
  expect(found.map(({ number }: Json) => number)).toEqual([2]);
  expect(JSON.parse((await ok('notebook', 'find', 'zinc', '--json')).out)).toEqual([]);
  const table = (await ok('notebook', 'export')).out.split('\r\n');
  expect(table).toHaveLength(5);
  for (const line of (await ok('notebook', 'list')).out.split('\n'))
    expect(line.length).toBeLessThanOrEqual(80);
});

test('what cannot be noted is told before any work, and a torn line hinders nothing', async () => {
  save(place.path, 'sea.png', photograph(90, 60));
  const args = ['prepare', 'sea.png', '--process', 'relief', '--width', '30', '--quiet'];
  const none = await cli(place, [...args, '--notebook', 'missing.jsonl']);
  expect(none.code).toBe(4);
  expect((await cli(place, [...args, '--note', 'x'])).err).toContain('no notebook');
  expect(readdirSync(place.path)).toEqual(['sea.png']);
  expect((await cli(place, ['notebook', 'list'])).err).toContain('notebook init');

  await ok('notebook', 'init');
  await ok(...args);
  appendFileSync(at(BOOK), '{"version":1,"id":"e0');
  await ok(...args, '--name', 'after');
  const list = await ok('notebook', 'list');
  expect(list.out).toContain('after');
  expect(list.err).toContain('line 2 is passed over');

  for (const [words, told] of [
    [['note'], 'notebook note is given 0 words more'],
    [['note', '1'], 'Nothing is said about entry 1'],
    [['list', '--ink', 'black'], 'takes no --ink'],
    [['compare', '1'], 'notebook compare <entry> <entry>'],
    [['fold'], 'notebook cannot "fold"'],
    [['note', '1', 'x', '--verdict', 'fine'], 'held, partly, failed'],
  ] as const) {
    const run = await cli(place, ['notebook', ...words]);
    expect(run.code).toBe(2);
    expect(run.err).toContain(told);
  }
});

test('a list leaves an entry a plate, refused ones too; what was kept leaves none', async () => {
  await ok('notebook', 'init');
  save(place.path, 'sea.png', photograph(90, 60));
  writeFileSync(at('list.csv'), 'picture,name,material\nsea.png,one,\nsea.png,two,vinyl\nnone.png,three,\n');
  const args = ['batch', 'list.csv', '--process', 'relief', '--width', '30', '--quiet'];
  expect((await cli(place, args)).code).toBe(6);
  expect((await cli(place, [...args, '--resume'])).code).toBe(6);
  const rows = JSON.parse((await ok('notebook', 'list', '--json')).out) as Json[];
  expect(rows.map(({ name, made }) => [name, made])).toEqual([
    ['one', true],
    ['two', false],
    ['two', false],
  ]);
});
