/** Two runs into one folder at once: of other names both are whole; of the same name one is refused, or with --overwrite the later set is whole. */
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { reportSchema } from '../../src/report/schema.ts';
import { sha256 } from '../run/judges.ts';
import { corpus } from '../run/pictures.ts';
import { cli, ended, freshPlace, namesIn, startCli } from './run-cli.ts';

const place = freshPlace();
const args = (width: number, ...more: string[]) => [
  'prepare',
  corpus('good/gen-wedge21.png'),
  '--process',
  'relief',
  '--width',
  `${width}`,
  '--out',
  'out',
  ...more,
];
const out = () => join(place.path, 'out');
const SET = ['a.hold.png', 'a.plate.bmp', 'a.plate.png', 'a.plate.tif', 'a.report.json'];
const MANY = ['--name', 'a', '--format', 'png,tiff,bmp', '--holdmap'];

/** Every file of the set as its report has it. */
function wholeSet(): number {
  const report = reportSchema.parse(JSON.parse(readFileSync(join(out(), 'a.report.json'), 'utf8')));
  for (const file of report.files)
    expect(sha256(readFileSync(join(out(), file.name))), file.name).toBe(file.sha256);
  return report.plate.widthMm;
}

test('other names', async () => {
  const runs = await Promise.all(['a', 'b', 'c'].map((name) => cli(place, args(20, '--name', name))));
  expect(runs.map(({ code }) => code)).toEqual([0, 0, 0]);
  expect(namesIn(out())).toEqual(
    ['a', 'b', 'c'].flatMap((name) => [`${name}.plate.png`, `${name}.report.json`]),
  );
});

test('the same name: one of them is refused', async () => {
  const runs = await Promise.all([20, 21].map((width) => cli(place, args(width, ...MANY))));
  expect(runs.map(({ code }) => code).sort()).toEqual([0, 4]);
  expect(runs.find(({ code }) => code === 4)!.err).toMatch(/already there|has appeared meanwhile/);
  expect([20, 21]).toContain(wholeSet());
  expect(namesIn(out())).toEqual(SET);
});

test('the same name with --overwrite: one set or the other, never of both', async () => {
  for (let round = 0; round < 2; round++) {
    const runs = await Promise.all([20, 21].map((width) => cli(place, args(width, ...MANY, '--overwrite'))));
    expect(runs.map(({ code, err }) => [code, code === 0 ? '' : err])).toEqual([0, 1].map(() => [0, '']));
    expect([20, 21]).toContain(wholeSet());
    expect(namesIn(out())).toEqual(SET);
  }
});

test('a run waits while another puts its files in place, and takes no heed of one that is dead', async () => {
  expect((await cli(place, args(20, '--name', 'first'))).code).toBe(0);
  const lock = join(out(), '.etchwright-lock');
  writeFileSync(lock, `etchwright-00000000-1-00000000`); // another computer's
  const child = startCli(place, args(20, '--name', 'second'));
  const end = ended(child);
  const early = await Promise.race([end, new Promise((resolve) => setTimeout(resolve, 3000, 'waits'))]);
  expect(early).toBe('waits');
  writeFileSync(lock, '');
  expect((await end).code).toBe(0);
  expect(namesIn(out())).toHaveLength(4);
});
