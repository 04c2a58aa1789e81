import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { reportSchema } from '../../src/report/schema.ts';
import { seenInPng } from '../run/judges.ts';
import { corpus, noise, save } from '../run/pictures.ts';
import { cli, freshPlace, shell } from './run-cli.ts';

const place = freshPlace();
const ESC = '\u001b';
const WEDGE = corpus('good/gen-wedge21.png');
const BAD = corpus('broken/gen-text.png');

describe('C33 a reader who leaves', () => {
  const leaves = async (command: string, reader: string, times: number) => {
    const loop = `for i in $(seq ${times}); do { ${command}; echo $? >> codes; } | ${reader}; done`;
    const { err } = await shell(place, loop);
    expect(err).not.toMatch(/\bat .*:\d+:\d+|EPIPE|fault/);
    const codes = readFileSync(join(place.path, 'codes'), 'utf8').trim().split('\n');
    expect(codes).toHaveLength(times);
    for (const code of codes) expect(['0', '141']).toContain(code);
  };

  test.each([
    ['etch --help', 'true', 9],
    ['etch prepare --help', 'head -1', 8],
    ['etch list kernels', 'head -1', 8],
    ['etch schema report', 'true', 9],
    ['etch schema job --json', 'head -1', 8],
  ])('%s | %s, %d times', leaves);

  test('the report of a plate, and the plate is whole', async () => {
    const command = `etch prepare '${WEDGE}' --process relief --width 20 --quiet --overwrite --name a --report -`;
    await leaves(command, 'head -1', 4);
    expect(seenInPng(readFileSync(join(place.path, 'a.plate.png'))).widthPx).toBe(394);
  });

  test('a plate larger than any pipe holds', async () => {
    save(place.path, 'noise.png', noise(1000, 1000));
    const size = '--width 100 --dpi 254 --process intaglio --cap 100 --screen errordiffusion';
    await leaves(
      `etch prepare noise.png ${size} --out - --report a.json --overwrite --quiet`,
      'head -c 9 > /dev/null',
      4,
    );
    const report = reportSchema.parse(JSON.parse(readFileSync(join(place.path, 'a.json'), 'utf8')));
    expect(report.files[0]?.bytes).toBeGreaterThan(100_000);
  });
});

const plain = ['--process', 'relief', '--width', '20'];

describe('C41 colours and noise', () => {
  test.each([
    [['list', 'screens']],
    [['schema', 'report']],
    [['prepare', WEDGE, ...plain]],
    [['prepare', WEDGE, ...plain, '--dry-run']],
    [['prepare', WEDGE, BAD, ...plain, '--dry-run']],
    [['prepare', WEDGE, ...plain, '--strict', '--dpi', '1000']],
  ])('%j with --json and FORCE_COLOR=1: one JSON value, no ESC', async (args) => {
    const { out, err } = await cli(place, [...args, '--json'], { env: { FORCE_COLOR: '1' } });
    expect(() => JSON.parse(out)).not.toThrow();
    expect(out + err).not.toContain(ESC);
  });

  test('errors with --json are one JSON object on standard error, and standard output is empty', async () => {
    const cases: [string[], number, string][] = [
      [['list', 'nothing'], 2, 'unknown-list'],
      [['schema', 'nothing'], 2, 'unknown-schema'],
      [['prepare', '--nothing'], 2, 'unknown-option'],
      [['prepare', BAD, '--dpi', 'x'], 2, 'job-problems'],
      [['prepare', BAD, ...plain], 3, 'not-a-picture'],
      [['prepare', WEDGE, ...plain, '--out', WEDGE], 4, 'output-failed'],
    ];
    for (const [args, code, name] of cases) {
      const run = await cli(place, [...args, '--json'], { env: { FORCE_COLOR: '1' } });
      expect([run.code, run.out], run.err).toEqual([code, '']);
      expect(run.err).not.toContain(ESC);
      const { error } = JSON.parse(run.err);
      expect(error).toMatchObject({ code: name, message: expect.any(String), hint: expect.any(String) });
    }
  });

  test('in pipes there is no ESC on either stream, unless colour is forced, and NO_COLOR wins', async () => {
    const args = ['prepare', WEDGE, ...plain, '--overwrite'];
    const escapes = async (more: string[], env: Record<string, string> = {}) => {
      const run = await cli(place, [...args, ...more], { env: { TERM: 'xterm-256color', ...env } });
      expect(run.out).not.toContain(ESC);
      expect(run.err).toContain('relief block');
      return run.err.includes(ESC);
    };
    expect(await escapes([])).toBe(false);
    expect(await escapes([], { FORCE_COLOR: '1' })).toBe(true);
    expect(await escapes(['--no-color'], { FORCE_COLOR: '1' })).toBe(false);
    expect(await escapes([], { FORCE_COLOR: '1', NO_COLOR: '1' })).toBe(false);
    const bad = await cli(place, ['prepare', BAD, ...plain]);
    expect(bad.out + bad.err).not.toContain(ESC);
  });
});
