/** What a user without rights meets. Root may do everything, so where the tests run as root the program runs as nobody. */
import { chmodSync, chownSync, mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { beforeEach, expect, test } from 'vitest';
import { photograph, save } from '../run/pictures.ts';
import { cli, ended, freshPlace, namesIn, type Run, startCli, until } from './run-cli.ts';

const place = freshPlace();
const at = (name: string): string => join(place.path, name);
const NOBODY = 65534;
const uid = process.getuid?.() === 0 ? NOBODY : undefined;
const give = (path: string): void => {
  if (uid !== undefined) chownSync(path, uid, uid);
};

beforeEach(async (context) => {
  chmodSync(dirname(place.path), 0o755);
  for (const path of [place.path, place.tmp]) give(path);
  save(place.path, 'sea.png', photograph(90, 60));
  const { code, err } = await run('--version').catch((error: Error) => ({ code: null, err: error.message }));
  if (code !== 0) context.skip(`the program cannot be run as another user here: ${err}`);
});

function run(...args: readonly string[]): Promise<Run> {
  return cli(place, args, { uid });
}
const small = ['--process', 'relief', '--width', '20', '--screen', 'threshold', '--quiet'];
const prepare = (...args: readonly string[]): Promise<Run> => run('prepare', 'sea.png', ...small, ...args);

/** A folder that nobody may write to. */
function closed(name: string): string {
  mkdirSync(at(name));
  give(at(name));
  chmodSync(at(name), 0o555);
  return name;
}

/** Refused with an exit code, all of these words, and nothing left behind. */
function expectRefused({ code, out, err }: Run, exit: number, ...words: readonly RegExp[]): void {
  expect([code, out], err).toEqual([exit, '']);
  for (const one of words) expect(err.replaceAll(/\s+/g, ' ')).toMatch(one);
  expect(err).not.toMatch(/ at .*:\d+:\d+|EACCES|please report/);
  expect(namesIn(place.tmp)).toEqual([]);
}

test.each([
  ['prepare', ['prepare', 'sea.png', ...small]],
  ['batch', ['batch', 'list.csv', ...small]],
  ['separate', ['separate', '--plate', 'a=sea.png', ...small]],
  ['testplate', ['testplate', '--process', 'relief', '--quiet']],
])('a folder for output that may not be written to: %s', async (_, words) => {
  writeFileSync(at('list.csv'), 'picture\nsea.png\n');
  closed('shut');
  for (const out of ['shut', 'shut/new']) {
    expectRefused(
      await run(...words, '--out', out),
      4,
      /Writing "shut\/.*: permission is missing\. Choose a folder/,
    );
    expect(namesIn(at('shut'))).toEqual([]);
  }
});

test('a plate that is write-protected stays, also with --overwrite, and what stands beside it', async () => {
  expect((await prepare('--out', 'out')).code).toBe(0);
  const before = readFileSync(at('out/sea.plate.png'));
  chmodSync(at('out/sea.plate.png'), 0o444);
  expectRefused(
    await prepare('--out', 'out', '--overwrite', '--dpi', '300'),
    4,
    /out\/sea\.plate\.png.*permission/,
  );
  expect(readFileSync(at('out/sea.plate.png'))).toEqual(before);
  expect(namesIn(at('out'))).toEqual(['sea.plate.png', 'sea.report.json']);
  expect(JSON.parse(readFileSync(at('out/sea.report.json'), 'utf8')).job.dpi).toBe(500);
});

test('a temporary folder that is shut or not there is told as that', async () => {
  chmodSync(place.tmp, 0o555);
  const say = /Making a folder in the temporary folder ".*".* set TMPDIR/;
  expectRefused(await prepare('--out', 'out'), 4, say, /permission is missing/);
  chmodSync(place.tmp, 0o755);
  rmSync(place.tmp, { recursive: true });
  expectRefused(await prepare('--out', 'out'), 4, say, /is not there/);
  expect(namesIn(place.path)).toEqual(['sea.png']);
});

test('a picture, list or job file that may not be read', async () => {
  for (const [name, text] of [
    ['list.csv', 'picture\nsea.png\n'],
    ['a.job.json', '{}'],
  ] as const) {
    writeFileSync(at(name), text);
    chmodSync(at(name), 0);
    give(at(name));
  }
  expectRefused(await run('batch', 'list.csv', ...small), 2, /list\.csv: reading it is not permitted/);
  expectRefused(await prepare('--job', 'a.job.json'), 2, /a\.job\.json: reading it is not permitted/);
  chmodSync(at('sea.png'), 0);
  give(at('sea.png'));
  expectRefused(await prepare('--out', 'out'), 3, /"sea\.png": the file may not be read/);
  expect(readdirSync(place.path).sort()).toEqual(['a.job.json', 'list.csv', 'sea.png']);
});

test('a notebook that may not be written to is told before any work; none is begun in a shut folder', async () => {
  expect((await run('notebook', 'init')).code).toBe(0);
  chmodSync(at('etchwright.notebook.jsonl'), 0o444);
  expectRefused(await prepare(), 4, /"etchwright\.notebook\.jsonl": permission is missing/);
  expect(namesIn(place.path)).toEqual(['etchwright.notebook.jsonl', 'sea.png']);
  expect(readFileSync(at('etchwright.notebook.jsonl'), 'utf8')).toBe('');
  closed('shut');
  expectRefused(await run('notebook', 'init', '--notebook', 'shut/n.jsonl'), 4, /permission is missing/);
});

test('a folder for output that disappears while the plate is made', async () => {
  const child = startCli(place, ['prepare', 'sea.png', ...small, '--width', '900', '--out', 'out'], { uid });
  child.stdin?.end();
  await until(() => namesIn(at('out')).length > 0, 'a file in the making');
  rmSync(at('out'), { recursive: true, force: true });
  expectRefused(
    await ended(child),
    4,
    /out\/sea\.[a-z.]+": (a folder or file on the way is not there|its folder is not there)/,
  );
  expect(namesIn(place.path)).toEqual(['sea.png']);
});
