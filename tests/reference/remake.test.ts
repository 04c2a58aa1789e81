/** Everything in examples/ that makes plates, made again from its records alone: the same bits and the same bytes. */
import { copyFileSync, cpSync, mkdirSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { classDay } from '../../examples/class-day.mjs';
import { loop } from '../../examples/loop.mjs';
import { SETS } from '../../examples/night-ferry.mjs';
import { batchSchema } from '../../src/report/batch/schema.ts';
import { remakeSchema } from '../../src/report/remake-schema.ts';
import { cli, freshPlace } from '../cli/run-cli.ts';

const place = freshPlace();
const top = join(import.meta.dirname, '../..');
const examples = join(top, 'examples');

/** Makes what a record tells of again, from the pictures in a folder. */
async function again(record: string, pictures: string, plates: number): Promise<void> {
  const run = await cli(place, [
    'remake',
    record,
    '--input',
    pictures,
    '--out',
    'again',
    '--overwrite',
    '--json',
  ]);
  expect([run.code, run.err], record).toEqual([0, '']);
  const remade = remakeSchema.parse(JSON.parse(run.out));
  expect(remade, record).toMatchObject({ sameBits: true, sameFiles: true, differences: [] });
  expect(remade.plates).toHaveLength(plates);
}

test('the plates of both pictures', async () => {
  const jobs = readdirSync(examples).filter((name) => name.endsWith('.job.json'));
  expect(jobs).toHaveLength(2);
  for (const job of jobs) {
    const stem = job.replace('.job.json', '');
    copyFileSync(join(examples, `${stem}.png`), join(place.path, `${stem}.png`));
    expect((await cli(place, ['prepare', `${stem}.png`, '--job', join(examples, job), '--quiet'])).code).toBe(
      0,
    );
    await again(`${stem}.report.json`, '.', 1);
  }
});

test('both sets of the night ferry', async () => {
  cpSync(join(examples, 'night-ferry'), join(place.path, 'examples/night-ferry'), { recursive: true });
  for (const [words, name, plates] of [
    [SETS[0]!, 'night-ferry', 3],
    [SETS[1]!, 'card', 4],
  ] as const) {
    expect((await cli(place, ['separate', ...words, '--quiet'])).code).toBe(0);
    await again(`${name}.set.json`, 'examples/night-ferry', plates);
  }
});

test('the fourteen plates of the class, and their sheets', async () => {
  const { plates } = batchSchema.parse(classDay(place.path, true).batch);
  const made = plates.filter(({ outcome }) => outcome === 'made');
  expect(made).toHaveLength(14);
  for (const { name } of made) await again(`plates/${name}.report.json`, join(examples, 'class'), 1);
  await again('sheets/class.gang.json', 'plates', 2);
});

test.each(['intaglio', 'relief'] as const)(
  'the loop of calibration: test plate and plate, %s',
  async (kind) => {
    mkdirSync(join(place.path, kind));
    loop(join(place.path, kind), kind, true);
    await again(`${kind}/testplate.report.json`, kind, 1);
    await again(`${kind}/steps.report.json`, kind, 1);
  },
);
