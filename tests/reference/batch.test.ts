/** Long lists: killed at 20 random moments, and the memory of sixty plates beside that of four. */
import { spawn, spawnSync } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { pathToFileURL } from 'node:url';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { hashesIn } from '../batch/run-list.ts';

const root = join(import.meta.dirname, '../..');
const bin = join(root, 'bin/etchwright.js');
const tellUsage = pathToFileURL(join(root, 'tests/bench/tell-usage.mjs')).href;
const examples = join(root, 'examples/class');

const PATIENCE_MS = 900_000;
let folder = '';
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'etchwright-test-batch-'));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** A list of so many plates of the pictures of the class, and one that is lost. */
function listOf(plates: number): string {
  const pictures = readdirSync(examples).filter((name) => name.endsWith('.jpg'));
  const rows = Array.from(
    { length: plates },
    (_, i) => `"${join(examples, pictures[i % pictures.length]!)}",A.`,
  );
  const path = join(folder, `of-${plates}.csv`);
  writeFileSync(path, ['picture,name', ...rows, 'lost.jpg,B'].join('\n'));
  return path;
}

const args = (list: string, out: string, ...more: string[]): string[] => [
  ...[bin, 'batch', list, '--job', join(examples, 'class.job.json'), '--out', out, '--workers', '2'],
  ...['--quiet', ...more],
];

test('killed at 20 random moments, then resumed: the bytes of an unbroken run, and nothing half written', {
  timeout: PATIENCE_MS,
}, async () => {
  const list = listOf(24);
  const [unbroken, broken] = [join(folder, 'unbroken'), join(folder, 'broken')];
  expect(spawnSync(process.execPath, args(list, unbroken)).status).toBe(6);
  const whole = hashesIn(unbroken);
  let caught = 0;
  let leftovers = 0;
  for (let kill = 0; kill < 20; kill++) {
    const child = spawn(process.execPath, args(list, broken, '--resume'), { stdio: 'ignore' });
    const closed = once(child, 'close');
    await Promise.race([closed, wait(600 + 1800 * Math.random())]);
    child.kill('SIGKILL');
    const [, signal] = await closed;
    if (signal === 'SIGKILL') caught++;
    const now = readdirSync(folder).includes('broken') ? hashesIn(broken) : {};
    const inPlace = Object.entries(now).filter(([name]) => !name.includes('.etchwright-'));
    leftovers += Object.keys(now).length - inPlace.length;
    for (const [name, hash] of inPlace) expect(hash, `kill ${kill}: ${name}`).toBe(whole[name]);
  }
  expect(spawnSync(process.execPath, args(list, broken, '--resume')).status).toBe(6);
  expect(hashesIn(broken)).toEqual(whole);
  // otherwise no run was caught in the act, and nothing is shown
  expect(caught).toBeGreaterThan(0);
  expect(leftovers).toBeGreaterThan(0);
});

test('60 plates take less than twice the memory of 4', { timeout: PATIENCE_MS }, () => {
  const peakMB = (plates: number): number => {
    const words = ['--import', tellUsage, ...args(listOf(plates), join(folder, `of-${plates}`))];
    const { status, stderr } = spawnSync(process.execPath, words, { encoding: 'utf8' });
    expect(status).toBe(6);
    return (JSON.parse(stderr.trimEnd().split('\n').at(-1)!).peakKiB * 1024) / 1e6;
  };
  const [four, sixty] = [peakMB(4), peakMB(60)];
  expect(readFileSync(join(folder, 'of-60', 'contact.html'), 'utf8').match(/<img/g)).toHaveLength(60);
  expect(sixty, `${four.toFixed(0)} MB for 4`).toBeLessThan(2 * four);
});
