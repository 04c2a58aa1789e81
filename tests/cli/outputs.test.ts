import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { reportSchema } from '../../src/report/schema.ts';
import { corpus, save } from '../run/pictures.ts';
import { cli, freshPlace, namesIn } from './run-cli.ts';

const place = freshPlace();
const WEDGE = corpus('good/gen-wedge21.png');
const FLAT = corpus('good/gen-flat-128.png');
const BAD = corpus('broken/gen-text.png');
const prepare = (...args: string[]) =>
  cli(place, ['prepare', ...args, '--process', 'relief', '--width', '20']);
const count = (text: string, word: string) => text.split(word).length - 1;

describe('C39 one bad picture of three', () => {
  test('two plates, exit 6, the bad one named once', async () => {
    const { code, out, err } = await prepare(WEDGE, BAD, FLAT);
    expect(code).toBe(6);
    expect(count(err, 'gen-text.png')).toBe(1);
    expect(err).toContain('1 of 3 pictures gave no plate');
    const made = ['gen-flat-128', 'gen-wedge21'].flatMap((n) => [`${n}.plate.png`, `${n}.report.json`]);
    expect(namesIn(place.path)).toEqual(made);
    expect(out.trim().split('\n').sort()).toEqual(made);
  });

  test('in the manifest of --json it is the one that failed', async () => {
    const { code, out, err } = await prepare(WEDGE, BAD, FLAT, '--json');
    expect(code).toBe(6);
    expect(count(err, 'gen-text.png')).toBe(1);
    const { plates, made, failed } = JSON.parse(out);
    expect([made, failed]).toEqual([2, 1]);
    expect(plates.map(({ picture, ok }: { picture: string; ok: boolean }) => [picture, ok])).toEqual([
      [WEDGE, true],
      [BAD, false],
      [FLAT, true],
    ]);
    expect(plates[1]).toMatchObject({
      code: 'not-a-picture',
      message: expect.stringContaining('gen-text.png'),
    });
    for (const { report } of [plates[0], plates[2]]) reportSchema.parse(report);
  });

  test('a refused one counts as failed and is told of, also with --quiet', async () => {
    const { code, out, err } = await prepare(WEDGE, FLAT, '--screen', 'threshold', '--strict', '--quiet');
    expect(code).toBe(6); // the flat one has too few pixels to an inch
    expect(count(err, 'Refused gen-flat-128.png')).toBe(1);
    expect(out.trim().split('\n')).toEqual(['gen-wedge21.plate.png', 'gen-wedge21.report.json']);
  });
});

test('several pictures of one stem are a usage error before any work', async () => {
  save(place.path, 'a.png', readFileSync(FLAT));
  save(place.path, 'A.jpg', readFileSync(corpus('good/gen-orient-1.jpg')));
  const { code, err } = await prepare('a.png', 'A.jpg');
  expect(code).toBe(2);
  expect(err).toContain('same name');
  expect(namesIn(place.path)).toEqual(['A.jpg', 'a.png']);
});

test.each(['a.plate.png', 'a.report.json'])(
  'an older %s is kept without --overwrite and replaced with it',
  async (old) => {
    save(place.path, old, Buffer.from('old'));
    const kept = await prepare(WEDGE, '--name', 'a');
    expect([kept.code, kept.out]).toEqual([4, '']);
    expect(kept.err).toContain('--overwrite');
    expect(namesIn(place.path)).toEqual([old]);
    expect(readFileSync(join(place.path, old), 'utf8')).toBe('old');
    expect((await prepare(WEDGE, '--name', 'a', '--overwrite')).code).toBe(0);
    expect(readFileSync(join(place.path, old)).length).toBeGreaterThan(100);
    expect(namesIn(place.path)).toEqual(['a.plate.png', 'a.report.json']);
  },
);

test('--dry-run writes nothing and prints the report', async () => {
  const { code, out } = await prepare(WEDGE, '--dry-run', '--name', 'a');
  expect(code).toBe(0);
  const report = reportSchema.parse(JSON.parse(out));
  expect(report.files).toEqual([]);
  expect([...namesIn(place.path), ...namesIn(place.tmp)]).toEqual([]);
  const real = await prepare(WEDGE, '--name', 'a', '--quiet');
  expect(real.code).toBe(0);
  const written = JSON.parse(readFileSync(join(place.path, 'a.report.json'), 'utf8'));
  expect({ ...written, files: [] }).toEqual(report);
});

test('--strict: a caution is exit 5, and nothing is written, not even the saved job', async () => {
  const { code, out, err } = await prepare(FLAT, '--strict', '--save-job', 'a.job.json', '--out', 'new');
  expect([code, out]).toEqual([5, '']);
  // the summary has told why
  const cautions = count(err, '\n  caution ');
  expect(cautions).toBeGreaterThan(1);
  expect(err.trim().split('\n').at(-1)).toBe(
    `etchwright: Refused: ${cautions} cautions with --strict. Nothing was written.`,
  );
  expect([...namesIn(place.path), ...namesIn(place.tmp)]).toEqual([]);
  expect((await prepare(FLAT)).code).toBe(0);
});

test('a blank line stands between the plates of one run, and nowhere else', async () => {
  const lines = (await prepare(WEDGE, FLAT)).err.trimEnd().split('\n');
  const blank = lines.indexOf('');
  expect(lines[0]).toMatch(/^gen-wedge21\.png → /);
  expect(lines[blank + 1]).toMatch(/^gen-flat-128\.png → /);
  expect(lines.lastIndexOf('')).toBe(blank);
});

test('--report - prints the report instead of writing it, --quiet says nothing beside results', async () => {
  const { code, out, err } = await prepare(
    WEDGE,
    '--name',
    'ferry',
    '--out',
    'new/dir',
    '--report',
    '-',
    '--quiet',
  );
  expect([code, err]).toEqual([0, '']);
  const report = reportSchema.parse(JSON.parse(out));
  expect(report.files.map(({ name }) => name)).toEqual(['ferry.plate.png']);
  expect(namesIn(join(place.path, 'new/dir'))).toEqual(['ferry.plate.png']);
});

test('--report names the file, and the paths written are the result', async () => {
  const { code, out, err } = await prepare(WEDGE, '--report', 'x/r.json', '--format', 'png,tiff', '--quiet');
  expect([code, err]).toEqual([0, '']);
  expect(out).toBe('gen-wedge21.plate.png\ngen-wedge21.plate.tif\nx/r.json\n');
  expect(namesIn(join(place.path, 'x'))).toEqual(['r.json']);
});
