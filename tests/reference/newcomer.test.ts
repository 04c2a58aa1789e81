/** A fresh clone, an empty home, and nothing but the commands of the README. */
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, describe, expect, test } from 'vitest';
import { commandLines } from '../contract/readme.ts';
import { openStranger } from './newcomer.ts';

const root = join(import.meta.dirname, '../..');
const PATIENCE_MS = 600_000;
/** Parts of the second command that whoever runs this has run on the same sources just before. */
const RUN_BEFORE = ['npm test', 'npm run lint', 'npm run unused'];

// a copy without its history cannot be cloned
describe.skipIf(!existsSync(join(root, '.git')))('in a fresh clone', () => {
  const stranger = openStranger('newcomer');
  const clone = join(stranger.folder, 'etchwright');
  afterAll(stranger.leave);
  let lines: readonly string[] = [];

  test('the first command sets all up and makes the demo plates', { timeout: PATIENCE_MS }, () => {
    stranger.run(`git -c safe.directory='*' clone --quiet ${JSON.stringify(root)} etchwright`);
    lines = commandLines(readFileSync(join(clone, 'README.md'), 'utf8'));
    expect(lines[0]).toMatch(/^npm ci && npm run \w+$/);
    stranger.run(lines[0]!, clone);
    const made = readdirSync(join(clone, 'examples/out'));
    expect(made.filter((name) => name.endsWith('.plate.png')).length).toBe(2);
  });

  test('the second is made of scripts that find all they want there', { timeout: PATIENCE_MS }, () => {
    const script = /^npm ci && npm run (\w+)$/.exec(lines[1]!)![1]!;
    const { scripts } = JSON.parse(readFileSync(join(clone, 'package.json'), 'utf8')) as {
      scripts: Record<string, string>;
    };
    const parts = scripts[script]!.split(' && ');
    expect(parts).toEqual(expect.arrayContaining(RUN_BEFORE));
    for (const part of parts.filter((one) => !RUN_BEFORE.includes(one))) stranger.run(part, clone);
  });

  test('then the first plate comes out as the README says', { timeout: PATIENCE_MS }, () => {
    for (const line of lines.slice(2, 4)) stranger.run(line, clone);
    expect(readdirSync(join(clone, 'plates')).toSorted()).toEqual([
      'ferry-key.plate.png',
      'ferry-key.report.json',
      'sound-tone.plate.png',
      'sound-tone.report.json',
    ]);
  });

  test('nothing that the repository keeps was changed, and nothing lies about beside it', () => {
    // plates lie where the reader wanted them; what is built, and the demo, are left out of the repository
    expect(stranger.run('git status --porcelain', clone).stdout.trim()).toBe('?? plates/');
    expect(readdirSync(stranger.folder).toSorted()).toEqual(['etchwright', 'home']);
  });
});
