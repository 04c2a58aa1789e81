/** Pictures with names that give orders to terminals, disks, browsers or shells. */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { oneLine } from '../../src/cli/shown.ts';
import { soundName } from '../../src/job/file-names.ts';
import { corpus, save } from '../run/pictures.ts';
import { cli, freshPlace, namesIn, shell } from './run-cli.ts';

const place = freshPlace();
const picture = readFileSync(corpus('good/gen-wedge21.png'));
const ESC = '\u001b';
const PLAIN = ['--process', 'relief', '--width', '20'];

const NAMES: readonly (readonly [what: string, stem: string, files: string])[] = [
  ['a line break', 'a\ncaution: none', 'a-caution- none'],
  ['escape codes', `${ESC}[2J${ESC}]0;title\u0007x\u009b31m`, '[2J-]0;title-x-31m'],
  ['quotes and shell', `"'$(rm -r .)\`&;`, `'$(rm -r .)\`&;`],
  ['a leading dash', '--overwrite', 'overwrite'],
  ['right to left', 'ab\u202egnp.cod\u2066', 'ab-gnp.cod-'],
  ['a device', 'CON', 'plate-CON'],
  ['dots', '..', ''],
];

describe('file names', () => {
  test.each(NAMES.filter(([, , files]) => files !== ''))('%s', (_, stem, files) => {
    expect(soundName(stem)).toBe(files);
  });

  test('are kept where any disk takes them, and shortened where none does', () => {
    for (const name of ['net loft', 'Ä ö ü — 版画', 'a.b.c', "O'Brien (2)", 'x_y-z'])
      expect(soundName(name)).toBe(name);
    expect(soundName('..')).toBe('');
    expect(Buffer.byteLength(soundName('版'.repeat(83)))).toBe(159);
  });
});

test('words for a terminal: orders are shown and not obeyed, letters of any script stay', () => {
  expect(oneLine(`a\n${ESC}[31mb\u0007\u202ec`)).toBe('a\\n\\u{1b}[31mb\\u{7}\\u{202e}c');
  const scripts = 'é 版画 עברית العربية हिन्दी 👩‍🎨';
  expect(oneLine(scripts)).toBe(scripts);
});

describe('whole runs', () => {
  const orders = /[^\P{Cc}\n]|[\u202a-\u202e\u2066-\u2069]/u;

  test.each(NAMES)('%s: said in safe words, plate and sheet made', async (_, stem, files) => {
    save(place.path, `${stem}.png`, picture);
    const run = await cli(place, ['prepare', `./${stem}.png`, ...PLAIN, '--out', 'out', '--jobsheet']);
    expect(run.code, run.err).toBe(0);
    expect(run.err).not.toMatch(orders);
    expect(run.err.split('\n')[0]).toContain(' → relief block');
    const made = files === '' ? soundName(stem) || 'plate' : files;
    expect(namesIn(join(place.path, 'out'))).toEqual(
      ['jobsheet.html', 'plate.png', 'report.json'].map((end) => `${made}.${end}`),
    );
  });

  test('a name of 255 bytes, and one that is no UTF-8', async () => {
    const long = `${'x'.repeat(251)}.png`;
    save(place.path, long, picture);
    const run = await cli(place, ['prepare', long, ...PLAIN, '--out', 'out']);
    expect(run.code, run.err).toBe(0);
    expect(namesIn(join(place.path, 'out'))[0]).toBe(`${'x'.repeat(160)}.plate.png`);
    const latin = await shell(place, `etch prepare "$(printf 'caf\\351.png')" --process relief --width 20`);
    expect(latin.code).toBe(3);
    expect(latin.err).toMatch(/there is no such file/);
  });

  test('markup in names and words comes out as text in HTML, SVG and PDF', async () => {
    const bad = '<img src=x onerror=alert(1)>&"\'';
    save(place.path, `${bad}.png`, picture);
    const words = ['--permission', bad, '--proof', '--holdmap', '--jobsheet', '--outline', 'rectangle'];
    const run = await cli(place, [
      'prepare',
      `${bad}.png`,
      ...PLAIN,
      ...words,
      '--format',
      'pdf',
      '--out',
      'out',
    ]);
    expect(run.code, run.err).toBe(0);
    const texts = namesIn(join(place.path, 'out')).filter((name) => /\.(html|svg)$/.test(name));
    expect(texts).toHaveLength(2);
    for (const name of texts)
      expect(readFileSync(join(place.path, 'out', name), 'utf8')).not.toContain('<img src=x');
    save(
      place.path,
      'list.csv',
      Buffer.from(`picture,name,width\n"${bad.replaceAll('"', '""')}.png","${bad.replaceAll('"', '""')}",\n`),
    );
    const batch = await cli(place, ['batch', 'list.csv', ...PLAIN, '--out', 'listed']);
    expect(batch.code, batch.err).toBe(0);
    expect(readFileSync(join(place.path, 'listed', 'contact.html'), 'utf8')).not.toContain('<img src=x');
  });
});
