/** Runs stopped by a person, and runs killed by the system. */
import type { ChildProcess } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { describe, expect, test } from 'vitest';
import { reportSchema } from '../../src/report/schema.ts';
import { seenInPng, sha256 } from '../run/judges.ts';
import { corpus, evenNumbers, photograph, save } from '../run/pictures.ts';
import { cli, ended, freshPlace, namesIn, type Run, startCli, until } from './run-cli.ts';

const place = freshPlace();

describe('interrupted', () => {
  // 37 million pixels in 16 bands: far longer than it takes to notice the first file
  const LONG = [
    'prepare',
    'sea.png',
    '--process',
    'intaglio',
    '--width',
    '60',
    '--height',
    '400',
    '--dpi',
    '1000',
  ];
  const parts = () => namesIn(join(place.path, 'out')).filter((name) => name.endsWith('.part'));

  test.each([
    ['SIGINT', '1'],
    ['SIGINT', '2'],
    ['SIGTERM', '1'],
  ] as const)(
    '%s in the middle of a long run with %s workers: exit 130, nothing left',
    async (signal, workers) => {
      save(place.path, 'sea.png', photograph(300, 200));
      const child = startCli(place, [...LONG, '--fit', 'fill', '--out', 'out', '--workers', workers]);
      const end = ended(child);
      await until(() => parts().length === 2, 'the temporaries of plate and report');
      child.kill(signal);
      const { code, out, err } = await end;
      expect([code, out]).toEqual([130, '']);
      expect(err).toMatch(/Stopped before the work was finished/);
      expect(namesIn(place.path)).toEqual(['sea.png']);
      expect(namesIn(place.tmp)).toEqual([]);
    },
  );

  test('an older plate is kept', async () => {
    save(place.path, 'sea.png', photograph(300, 200));
    save(place.path, 'sea.plate.png', Buffer.from('old'));
    const child = startCli(place, [...LONG, '--fit', 'fill', '--overwrite', '--workers', '1']);
    const end = ended(child);
    await until(() => namesIn(place.path).some((name) => name.endsWith('.part')), 'a temporary');
    child.kill('SIGINT');
    expect((await end).code).toBe(130);
    expect(namesIn(place.path)).toEqual(['sea.plate.png', 'sea.png']);
    expect(readFileSync(join(place.path, 'sea.plate.png'), 'utf8')).toBe('old');
  });

  test('while it waits for a picture on standard input', async () => {
    const child = startCli(place, ['prepare', '-', '--process', 'relief', '--width', '20']);
    const end = ended(child);
    child.stdin?.write(photograph(30, 20).subarray(0, 50));
    await until(
      () => namesIn(place.tmp).some((name) => namesIn(join(place.tmp, name)).length > 0),
      'the spooled part',
    );
    child.kill('SIGINT');
    expect((await end).code).toBe(130);
    expect([...namesIn(place.path), ...namesIn(place.tmp)]).toEqual([]);
  });
});

test('killed at 20 moments over an older plate: each file whole, old or new, and the next run tidies up', async () => {
  const argsOf = (etch: string) => {
    const plain = ['prepare', corpus('good/gen-zoneplate.png'), '--process', 'intaglio', '--width', '30'];
    return [...plain, '--name', 'a', '--etch', etch, '--overwrite', '--quiet', '--workers', '1'];
  };
  const hashOf = (name: string) => sha256(readFileSync(join(place.path, name)));
  const whole = { plate: new Set<string>(), report: new Set<string>() };
  let longest = 0;
  for (const etch of ['light', 'dark']) {
    const started = Date.now();
    expect((await cli(place, argsOf(etch))).code).toBe(0);
    longest = Math.max(longest, Date.now() - started);
    seenInPng(readFileSync(join(place.path, 'a.plate.png')));
    reportSchema.parse(JSON.parse(readFileSync(join(place.path, 'a.report.json'), 'utf8')));
    whole.plate.add(hashOf('a.plate.png'));
    whole.report.add(hashOf('a.report.json'));
  }
  expect([whole.plate.size, whole.report.size]).toEqual([2, 2]);

  /** Half of them by the clock, half as soon as files are being made, where the harm would be. */
  const killLater = async (child: ChildProcess, kill: number, random: number) => {
    const making = () => namesIn(place.path).some((name) => name.includes(`-${child.pid}-`));
    if (kill % 2 === 0) await wait(longest * random);
    else {
      await until(() => making() || child.exitCode !== null, 'files in the making');
      await wait(longest * 0.15 * random);
    }
    child.kill('SIGKILL');
  };
  const random = evenNumbers(3);
  const runs: Run[] = [];
  for (let kill = 0; kill < 20; kill++) {
    const child = startCli(place, argsOf(kill % 4 < 2 ? 'light' : 'dark'));
    const end = ended(child);
    await killLater(child, kill, random());
    runs.push(await end);
    expect(whole.plate, `kill ${kill}`).toContain(hashOf('a.plate.png'));
    expect(whole.report, `kill ${kill}`).toContain(hashOf('a.report.json'));
  }
  // otherwise none was caught in the act, and nothing is shown
  expect(runs.filter(({ signal }) => signal === 'SIGKILL').length).toBeGreaterThan(5);
  const last = await cli(place, argsOf('light'));
  expect(last.code, last.err).toBe(0);
  expect(namesIn(place.path)).toEqual(['a.plate.png', 'a.report.json']);
  expect(namesIn(place.tmp)).toEqual([]);
});
