import { readFileSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { beforeEach, describe, expect, test } from 'vitest';
import { batchPlateSchema, batchSchema } from '../../src/report/batch/schema.ts';
import { hashesIn } from '../batch/run-list.ts';
import { evenNumbers, photograph, save } from '../run/pictures.ts';
import { cli, ended, freshPlace, namesIn, startCli } from './run-cli.ts';

const place = freshPlace();
const JOB = ['--process', 'intaglio', '--width', '20mm', '--dpi', '200', '--screen', 'errordiffusion'];
const ROWS = [
  'picture,name,cap',
  'sea.png,A.,70',
  'sea.png,A.,80',
  'lost.png,B,',
  'sea.png,C,',
  'sea.png,D,900',
  'sea.png,E,60',
];

beforeEach(() => {
  save(place.path, 'sea.png', photograph(120, 80));
  save(place.path, 'l.csv', Buffer.from(ROWS.join('\n')));
});
const out = (): string => join(place.path, 'out');
const batch = (...args: string[]) => cli(place, ['batch', 'l.csv', ...JOB, '--out', 'out', ...args]);

// C39: go on with the rest, name the bad one once on standard error, exit 6
test('people read a line for each plate and a summary; standard output has the plates', async () => {
  const { code, out: printed, err } = await batch('--no-color');
  expect(code).toBe(6);
  expect(printed.trimEnd().split('\n')).toEqual(
    ['A', 'A-2', 'C', 'E'].map((name) => `out/${name}.plate.png`),
  );
  expect(err.match(/lost\.png/g)).toHaveLength(1);
  expect(err.match(/"900"/g)).toHaveLength(1);
  expect(err).toMatch(
    /^etchwright: l\.csv, line 4, column "picture": .*\netchwright: l\.csv, line 6, column "cap": "900" does not fit/,
  );
  expect(err).toMatch(/2 made +A\. → A-2 +20 × 13\.33 mm/);
  expect(err).toMatch(/6 pictures: 4 made, 2 failed; about \d+:\d\d min/);
  expect(err).toMatch(/contact sheet: out\/contact\.html/);
});

test('one and four at a time: the same files, the same lines in the order of the list', async () => {
  const lines = async (workers: string) => {
    const run = await batch('--jsonl', '--workers', workers, '--quiet');
    const files = hashesIn(out());
    rmSync(out(), { recursive: true });
    const plates = run.out
      .trimEnd()
      .split('\n')
      .map((line) => batchPlateSchema.parse(JSON.parse(line)));
    return { files, plates };
  };
  const one = await lines('1');
  expect(one.plates.map(({ row }) => row)).toEqual([1, 2, 3, 4, 5, 6]);
  expect(await lines('4')).toEqual(one);
});

test('--json is one report as its schema has it; all well is exit 0', async () => {
  save(place.path, 'l.csv', Buffer.from('picture;name\nsea.png;Zoë\n'));
  const { code, out: printed, err } = await batch('--json');
  expect([code, err]).toEqual([0, '']);
  const report = batchSchema.parse(JSON.parse(printed));
  expect(report).toMatchObject({
    counts: { made: 1, failed: 0 },
    list: { name: 'l.csv' },
    contactSheet: 'contact.html',
  });
  const schema = await cli(place, ['schema', 'batch']);
  expect(JSON.parse(schema.out).properties.plates.items.properties).toHaveProperty('mendPage');
});

test('a list on standard input; job file, flags and rows over each other', async () => {
  save(
    place.path,
    'shared.json',
    Buffer.from('{ "process": "relief", "widthMm": 30, "screen": "bayer", "dpi": 100 }'),
  );
  const run = await cli(place, ['batch', '-', '--job', 'shared.json', '--dpi', '150', '--json'], {
    input: Buffer.from('picture,width\nsea.png,\n sea.png , 10\n'),
  });
  expect(run.code, run.err).toBe(0);
  const { plates } = batchSchema.parse(JSON.parse(run.out));
  expect(plates.map(({ name, plate }) => [name, plate!.plate.widthMm, plate!.plate.dpi])).toEqual([
    ['sea', 30, 150],
    ['sea-2', 10, 150],
  ]);
});

test('a picture that is not there is told with its line before the first plate, and stops no other', async () => {
  save(place.path, 'l.csv', Buffer.from('picture,cap\nsea.png,90\nlost.png,90\nlost.png,900\n'));
  const { code, err } = await batch();
  expect(code).toBe(6);
  const at = (words: RegExp): number => err.search(words);
  expect(at(/l\.csv, line 3, column "picture": there is no file "lost\.png"\. Check the name/)).toBe(
    err.indexOf('l.csv, line 3'),
  );
  expect(at(/l\.csv, line 4, column "picture": there is no file/)).toBeGreaterThan(0);
  expect(at(/l\.csv, line 4, column "cap"/)).toBeGreaterThan(0);
  const firstPlate = at(/^1 made/m);
  expect(err.lastIndexOf('l.csv, line')).toBeLessThan(firstPlate);
  expect(namesIn(out())).toContain('sea.plate.png');
});

describe('what stops the whole list is exit 2, told at once, with nothing written', () => {
  test.each([
    ['a header', 'pictur,widht\na,1\n', [], [/"pictur".*"picture"/, /"widht".*"width"/, /no column/]],
    ['flags', 'picture\nsea.png\n', ['--cap', '900', '--part', '3/2'], [/--cap: "900"/, /--part: "3\/2"/]],
    ['nothing in it', '', [], [/there is nothing in it/]],
    [
      'a folder for standard output',
      'picture\nsea.png\n',
      ['--out', '-'],
      [/--out - can carry only one plate/],
    ],
  ] as const)('%s', async (_, text, flags, told) => {
    save(place.path, 'l.csv', Buffer.from(text));
    const { code, out: printed, err } = await batch(...flags);
    expect([code, printed]).toEqual([2, '']);
    for (const words of told) expect(err).toMatch(words);
    expect(namesIn(out())).toEqual([]);
  });

  test('two lists, a list that is not there, no list', async () => {
    expect((await cli(place, ['batch', 'l.csv', 'm.csv'])).err).toMatch(/one list at a time/);
    expect((await cli(place, ['batch', 'm.csv'])).err).toMatch(/m\.csv: there is no such file/);
    const none = await cli(place, ['batch']);
    expect([none.code, none.err]).toEqual([2, expect.stringMatching(/No list is given/)]);
  });
});

describe('killed and resumed', () => {
  const isPart = (name: string): boolean => name.includes('.etchwright-');

  test('at 5 random moments: nothing half written, and in the end the files of an unbroken run', async () => {
    await batch('--workers', '2');
    const whole = hashesIn(out());
    rmSync(out(), { recursive: true });
    const next = evenNumbers(2026);
    let caught = 0;
    for (let kill = 0; kill < 5; kill++) {
      const child = startCli(place, ['batch', 'l.csv', ...JOB, '--out', 'out', '--resume', '--workers', '2']);
      const end = ended(child);
      await Promise.race([end, wait(300 + 1500 * next())]);
      child.kill('SIGKILL');
      if ((await end).signal === 'SIGKILL') caught++;
      // whatever has its own name is whole: the very bytes of the unbroken run
      for (const name of namesIn(out()).filter((file) => !isPart(file)))
        expect(hashesIn(out())[name], `kill ${kill}: ${name}`).toBe(whole[name]);
    }
    expect(caught).toBeGreaterThan(0);
    expect((await batch('--resume')).code).toBe(6);
    expect(hashesIn(out())).toEqual(whole);
  });

  test('stopped by a person: exit 130, plates that were done stay, nothing else', async () => {
    const rows = ['picture,name', ...Array.from({ length: 40 }, (_, i) => `sea.png,p${i}`)];
    save(place.path, 'l.csv', Buffer.from(rows.join('\n')));
    const child = startCli(place, ['batch', 'l.csv', ...JOB, '--out', 'out', '--workers', '2']);
    const end = ended(child);
    const told = new Promise<void>((resolve) => child.stdout!.once('data', () => resolve()));
    await Promise.race([told, end]);
    child.kill('SIGINT');
    expect((await end).code).toBe(130);
    const names = namesIn(out());
    expect(names.filter((name) => isPart(name) || name.endsWith('.html'))).toEqual([]);
    const plates = names.filter((name) => name.endsWith('.plate.png'));
    expect(plates.length).toBeGreaterThan(0);
    expect(plates.length).toBeLessThan(40);
    for (const plate of plates) {
      const report = JSON.parse(
        readFileSync(join(out(), plate.replace('.plate.png', '.report.json')), 'utf8'),
      );
      expect(hashesIn(out())[plate]).toBe(report.files[0].sha256);
    }
    expect(namesIn(place.tmp)).toEqual([]);
  });
});
