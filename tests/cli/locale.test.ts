/** Language, country and time zone of the computer change no byte and no word. */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { corpus } from '../run/pictures.ts';
import { cli, freshPlace, namesIn } from './run-cli.ts';

const place = freshPlace();

test.each([
  { LANG: 'tr_TR.UTF-8', LC_ALL: 'tr_TR.UTF-8', TZ: 'Asia/Kathmandu' },
  { LANG: 'de_DE.UTF-8', LC_ALL: 'de_DE.UTF-8', LC_NUMERIC: 'de_DE.UTF-8', TZ: 'Pacific/Kiritimati' },
  { LANG: 'POSIX', LC_ALL: 'POSIX', TZ: 'America/St_Johns' },
])('$LANG', async (env) => {
  const make = async (out: string, variables: Record<string, string>) => {
    const words = [
      'prepare',
      corpus('good/gen-wedge21.png'),
      '--process',
      'INTAGLIO'.toLowerCase(),
      '--width',
      '20.5',
    ];
    const looks = ['--format', 'png,tiff,bmp,pdf', '--jobsheet', '--outline', 'ellipse', '--out', out];
    return cli(place, [...words, ...looks], { env: variables });
  };
  const plain = await make('plain', { LANG: 'C', LC_ALL: 'C', TZ: 'UTC' });
  const other = await make('other', env);
  expect([other.code, other.err, other.out.replaceAll('other/', 'plain/')]).toEqual([
    0,
    plain.err,
    plain.out,
  ]);
  expect(other.err).toContain('20.5 × ');
  const names = namesIn(join(place.path, 'plain'));
  expect(names.length).toBeGreaterThan(7);
  for (const name of names)
    expect(
      readFileSync(join(place.path, 'other', name)).equals(readFileSync(join(place.path, 'plain', name))),
      name,
    ).toBe(true);
});
